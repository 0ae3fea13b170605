// Marking: draw from note to note, or click and click, or arrow keys with shift.

import { choose, chosen, listen, parts } from "./store.js";
import { speak } from "./elements.js";
import { beatAt, beats, rangeText, reveal } from "./score.js";
import { change, redo, undo } from "./talk.js";
import { t } from "./words.js";

const STILL = 5; // pixels that a click may move

const box = document.getElementById("score");
let down = null;
let opening = null; // the passage that opens once the desk tells of it

export function handleMarking() {
  box.addEventListener("pointerdown", press);
  box.addEventListener("pointermove", move);
  box.addEventListener("pointerup", release);
  box.addEventListener("pointercancel", () => letGo());
  box.addEventListener("keydown", key);
  document.addEventListener("keydown", anywhere);
  listen(["passages"], open);
}

// Mark measures, as they are written in the marks, for a hand, and open the new passage.
export async function markAs(measures, hand) {
  const index = parts.passages?.length ?? 0;
  opening = index;
  if (await change([["passages", index], { measures, hand }])) speak(t("page.marked", { range: measures }));
  else opening = null;
}

// Mark beats `first` to `last`.
function mark(first, last, hand) {
  letGo();
  markAs(rangeText(first, last), hand);
}

function open() {
  if (opening !== null && parts.passages[opening]) {
    choose({ passage: opening, fingers: null });
    opening = null;
  } else if (chosen.passage !== null && !parts.passages[chosen.passage]) {
    choose({ passage: null, fingers: null });
  }
}

function press(event) {
  if (event.button !== 0 || !event.isPrimary || chosen.fingers || event.target.closest("button")) return;
  const at = beatAt(event.clientX, event.clientY);
  if (!at) return;
  down = { ...at, x: event.clientX, y: event.clientY, isDrawn: false };
  box.setPointerCapture(event.pointerId); // it may be let go beside the score
  if (event.pointerType === "mouse") event.preventDefault();
  box.focus({ preventScroll: true });
}

function move(event) {
  if (!down) return;
  const far = Math.hypot(event.clientX - down.x, event.clientY - down.y) > STILL;
  if (!far && !down.isDrawn) return;
  down.isDrawn = true;
  const at = beatAt(event.clientX, event.clientY);
  if (at) choose({ range: inOrder(down.beat, at.beat), cursor: null });
}

function release(event) {
  if (!down) return;
  const from = down;
  down = null;
  const at = beatAt(event.clientX, event.clientY) ?? from;
  if (from.isDrawn) {
    mark(...(chosen.range ?? inOrder(from.beat, at.beat)), handOf(from, at));
    return;
  }
  const inside = (parts.passages ?? []).find(({ span }) => span && span[0] <= at.beat && at.beat <= span[1]);
  if (chosen.anchor !== null) mark(...inOrder(chosen.anchor, at.beat), handOf({ hand: chosen.anchorHand }, at));
  else if (inside) choose({ passage: inside.index, fingers: null });
  else setAnchor(at);
}

function setAnchor({ beat, hand }) {
  choose({ anchor: beat, anchorHand: hand, cursor: beat });
  speak(placeOf("page.from-here", beat));
}

function placeOf(words, index) {
  const [measure, beat] = beats()[index];
  return t(words, { measure, beat });
}

function letGo() {
  down = null;
  choose({ range: null, anchor: null, keyStart: null });
}

const inOrder = (one, other) => (one <= other ? [one, other] : [other, one]);
const handOf = (from, to) => (from.hand && from.hand === to.hand ? from.hand : "both");

function key(event) {
  if (event.target !== box || beats().length === 0 || event.ctrlKey || event.metaKey || event.altKey) return;
  const here = chosen.cursor ?? 0;
  const step = {
    ArrowRight: 1,
    ArrowLeft: -1,
    ArrowDown: measureLength(here, 1),
    ArrowUp: -measureLength(here, -1),
    Home: -here,
    End: beats().length,
  }[event.key];
  if (step !== undefined) {
    const cursor = Math.min(beats().length - 1, Math.max(0, chosen.cursor === null ? 0 : here + step));
    const start = event.shiftKey ? (chosen.keyStart ?? here) : null;
    choose({ cursor, keyStart: start, range: start === null ? null : inOrder(start, cursor) });
    reveal(cursor);
    speak(start === null ? placeOf("page.at", cursor) : t("page.selection", { range: rangeText(...chosen.range) }));
  } else if (event.key === "Enter" || event.key === " ") {
    const range = chosen.range ?? (chosen.cursor === null ? null : [chosen.cursor, chosen.cursor]);
    if (range) mark(...range, "both");
  } else if (event.key === "Escape") {
    letGo();
  } else {
    return;
  }
  event.preventDefault();
}

function measureLength(beat, way) {
  let length = 1;
  while (beats()[beat + way * length] && !beats()[beat + way * length][2]) length += 1;
  return length;
}

// Undo and redo by their usual keys; within a text they are the text's own.
function anywhere(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.target.matches?.("input[type=text], textarea")) return;
  const name = event.key.toLowerCase();
  if (name === "z") event.shiftKey ? redo() : undo();
  else if (name === "y") redo();
  else return;
  event.preventDefault();
}
