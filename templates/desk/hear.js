// A drill heard as it is practised: counted in, with the metronome, at one mark of its ladder. What
// plays is the screen edition's.

import { listen, parts, passage } from "./store.js";
import { button, element } from "./elements.js";
import { Instrument, Player, deviceOfSound, wakeDevice } from "./screen/player.js";
import { take } from "./screen/takes.js";
import { asked } from "./talk.js";
import { t } from "./words.js";

const box = element("div", { id: "hear", class: "row", role: "group" });
const drills = element("select", { onchange: () => fillMarks(null) });
const marks = element("select");
const told = element("span", { class: "hint", role: "status" });
let play = null;
let player = null;

export function showHearing() {
  play = button(t("hear.play"), toggle);
  box.setAttribute("aria-label", t("hear.title"));
  drills.setAttribute("aria-label", t("hear.drill"));
  marks.setAttribute("aria-label", t("hear.mark"));
  box.append(play, drills, marks, told);
  document.getElementById("drills").prepend(box);
  listen(["heard", "passage", "passages"], fill);
}

function fill() {
  const open = passage();
  const found = (parts.heard ?? []).filter((each) => !open || each.passage === open.id);
  const before = drills.value;
  box.hidden = found.length === 0;
  const called = (each) => `${each.name} (${t(`card.${each.hand}`)})`;
  drills.replaceChildren(...found.map((each) => element("option", { value: each.id }, called(each))));
  const isStill = found.some((each) => each.id === before);
  if (isStill) drills.value = before;
  fillMarks(isStill ? Number(marks.value) : null);
}

// The marks of the drill's ladder; `before` stays, if it is one of them.
function fillMarks(before) {
  const drill = (parts.heard ?? []).find((each) => each.id === drills.value);
  const ladder = drill?.marks ?? [];
  marks.replaceChildren(...ladder.map((mark) => element("option", { value: mark }, String(mark))));
  if (drill) marks.value = String(ladder.includes(before) ? before : drill.now);
}

// Sound begins with a press, as browsers ask.
async function toggle() {
  if (player?.isPlaying) return halt();
  told.textContent = "";
  try {
    player ??= new Player(new Instrument(deviceOfSound()));
    await wakeDevice(player.instrument.device);
  } catch {
    told.textContent = t("hear.no-sound");
    return;
  }
  const heard = await asked(`hear/${drills.value}`);
  if (!heard) {
    told.textContent = t("hear.no-drill");
    return;
  }
  player.start(take(heard, Number(marks.value)), 1, halt);
  play.textContent = t("hear.stop");
}

function halt() {
  player?.stop();
  play.textContent = t("hear.play");
}
