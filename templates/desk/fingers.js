// Fingers: written over the notes of the open passage, the teacher's dark, suggested ones lighter;
// typed digits go to the note that is framed, and the hand goes on to the next.

import { choose, chosen, listen, passage } from "./store.js";
import { button, element, speak } from "./elements.js";
import { known, systems } from "./score.js";
import { finger } from "./talk.js";
import { t } from "./words.js";

const BESIDE_MM = 1.5; // from a note head
const pad = element("div", { id: "fingers", role: "group", hidden: true });

export function showFingers() {
  document.querySelector("main").append(pad);
  document.addEventListener("keydown", key);
  listen(["fingers", "passages", "passage", "drawn", "laid"], show);
}

const line = () => passage()?.lines[chosen.fingers?.hand] ?? [];

function show() {
  for (const each of systems()) each.querySelector(".digits").replaceChildren();
  const open = passage();
  pad.hidden = !open || !chosen.fingers;
  if (!open) return;
  for (const [hand, onsets] of Object.entries(open.lines)) {
    onsets.forEach((onset, index) => {
      const isPrinted = !chosen.fingers && onset.from.every((from) => from === "score");
      if (!isPrinted) digits(open.start + onset.time, hand, onset, index);
    });
  }
  if (!pad.hidden) showPad();
}

function digits(time, hand, onset, index) {
  for (const each of systems()) {
    const system = known(Number(each.dataset.index));
    const heads = system?.notes.filter((note) => note[5] === hand && Math.abs(note[4] - time) < 1e-6) ?? [];
    if (heads.length > 0) stand(each, system, heads, hand, onset, index);
  }
}

function stand(each, system, heads, hand, onset, index) {
  const isHere = chosen.fingers?.hand === hand && chosen.fingers.onset === index;
  const middle = heads.reduce((sum, note) => sum + (note[0] + note[2]) / 2, 0) / heads.length;
  const [upper, lower] = [heads.map((note) => note[1]), heads.map((note) => note[3])];
  const top = hand === "right" ? Math.min(...upper) - BESIDE_MM : Math.max(...lower) + BESIDE_MM;
  const typed = isHere ? chosen.fingers.typed : [];
  const column = element("button", {
    type: "button",
    class: `column ${hand}${isHere ? " here" : ""}`,
    tabindex: "-1",
    "aria-label": `${onset.place}: ${onset.fingers.join(" ")}`,
    onclick: () => choose({ fingers: { hand, onset: index, typed: [] } }),
  });
  const shown = onset.fingers.map((number, key) => [typed[key] ?? number, typed[key] ? "typed" : onset.from[key]]);
  for (const [number, from] of shown.reverse()) {
    column.append(element("span", { class: `digit ${from}` }, String(number ?? "·")));
  }
  column.style.left = `${(100 * middle) / system.width}%`;
  column.style.top = `${(100 * top) / system.height}%`;
  each.querySelector(".digits").append(column);
  if (isHere) column.scrollIntoView({ block: "nearest" });
}

function showPad() {
  const { hand, onset } = chosen.fingers;
  const here = line()[onset];
  if (!here) return;
  const count = here.fingers.length;
  const keys = count === 1 ? t("fingers.keys-one") : t("fingers.keys-many", { count });
  const title = (place) => t("fingers.title", { hand: t(`card.${hand}`), place });
  const now = t("fingers.now", { place: here.place, keys });
  pad.setAttribute("aria-label", title(here.place));
  pad.replaceChildren(
    element("p", {}, element("b", {}, title(line()[0].place)), ` ${now}`),
    element(
      "p",
      { class: "row" },
      ...[1, 2, 3, 4, 5].map((digit) => button(String(digit), () => type(digit))),
      button("·", () => type(null), { "aria-label": t("fingers.open") }),
      button("⌫", back, { "aria-label": t("fingers.clear") }),
      button(t("fingers.end"), end),
    ),
    element("p", { class: "hint" }, t("fingers.how")),
  );
}

function key(event) {
  if (!chosen.fingers || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target.matches?.("input, textarea")) return;
  if (/^[1-5]$/.test(event.key)) type(Number(event.key));
  else if (event.key === ".") type(null);
  else if (event.key === "Backspace") back();
  else if (event.key === "ArrowRight") go(1);
  else if (event.key === "ArrowLeft") go(-1);
  else if (event.key === "Escape") end();
  else return;
  event.preventDefault();
  event.stopPropagation();
}

// A digit for the next key of the onset, from the lowest up; null leaves the whole onset open.
async function type(digit) {
  const { hand, onset, typed } = chosen.fingers;
  const count = line()[onset]?.fingers.length ?? 1;
  if (digit === null) {
    go(1);
    await finger(hand, onset, ".");
    return;
  }
  const now = [...typed, digit];
  if (now.length < count) return choose({ fingers: { hand, onset, typed: now } });
  const word = now.join("-");
  line()[onset].fingers = now;
  line()[onset].from = now.map(() => "marks");
  go(1);
  if (await finger(hand, onset, word)) speak(word);
}

async function back() {
  const { hand, onset, typed } = chosen.fingers;
  if (typed.length > 0) return choose({ fingers: { hand, onset, typed: typed.slice(0, -1) } });
  const before = Math.max(0, onset - 1);
  choose({ fingers: { hand, onset: before, typed: [] } });
  await finger(hand, before, ".");
}

function go(step) {
  const { hand, onset } = chosen.fingers;
  choose({ fingers: { hand, onset: Math.min(line().length - 1, Math.max(0, onset + step)), typed: [] } });
}

function end() {
  choose({ fingers: null });
  document.querySelector("#finger-choice button")?.focus();
}
