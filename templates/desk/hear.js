// A drill heard as it is practised: counted in, with the metronome, at one mark of its ladder. What
// plays is the screen edition's.

import { listen, parts, passage } from "./store.js";
import { button, element } from "./elements.js";
import { Instrument, Player } from "./screen/player.js";
import { take } from "./screen/takes.js";
import { t } from "./words.js";

const box = element("div", { id: "hear", class: "row", role: "group" });
const drills = element("select", { onchange: fillMarks });
const marks = element("select");
let play = null;
let player = null;

export function showHearing() {
  play = button(t("hear.play"), toggle);
  box.setAttribute("aria-label", t("hear.title"));
  drills.setAttribute("aria-label", t("hear.drill"));
  marks.setAttribute("aria-label", t("hear.mark"));
  box.append(play, drills, marks);
  document.getElementById("drills").prepend(box);
  listen(["heard", "passage", "passages"], fill);
}

function fill() {
  const open = passage();
  const found = (parts.heard ?? []).filter((each) => !open || each.passage === open.id);
  const before = drills.value;
  box.hidden = found.length === 0;
  drills.replaceChildren(...found.map((each) => element("option", { value: each.id }, `${each.name} (${t(`card.${each.hand}`)})`)));
  if (found.some((each) => each.id === before)) drills.value = before;
  else fillMarks();
}

function fillMarks() {
  const drill = (parts.heard ?? []).find((each) => each.id === drills.value);
  marks.replaceChildren(...(drill?.marks ?? []).map((mark) => element("option", { value: mark }, String(mark))));
  if (drill) marks.value = String(drill.now);
}

// Sound begins with a press, as browsers ask.
async function toggle() {
  if (player?.isPlaying) return halt();
  player ??= new Player(new Instrument(new AudioContext()));
  await player.instrument.device.resume();
  const answer = await fetch(`hear/${drills.value}`);
  if (!answer.ok) return;
  const played = take(await answer.json(), Number(marks.value));
  player.instrument.ready(new Set(played.notes.map((note) => note.key)));
  player.start(played, 1, halt);
  play.textContent = t("hear.stop");
}

function halt() {
  player?.stop();
  play.textContent = t("hear.play");
}
