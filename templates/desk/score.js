// The score in systems, each drawn when it comes near the view, and where beats and notes are.

import { choose, listen, parts } from "./store.js";
import { element } from "./elements.js";
import { asked } from "./talk.js";
import { t } from "./words.js";

const PIXELS_A_MM = 96 / 25.4;
const AHEAD = "900px";
const PAUSE = 2000; // milliseconds before what did not come is asked for again

let score = null; // beats and the first beat of every system
let drawn = []; // every system as it is drawn: null not yet, undefined where it is being drawn
let shownFor = "";
let handsFor = 0; // which division between the hands the drawn systems know
const box = document.getElementById("score");

const watcher = new IntersectionObserver(
  (entries) => entries.filter((entry) => entry.isIntersecting).forEach((entry) => draw(entry.target)),
  { root: box, rootMargin: AHEAD },
);

export function showScore() {
  box.setAttribute("aria-label", t("page.score"));
  box.append(element("p", { class: "hint" }, t("page.reading")));
  listen(["score"], lay);
  let resting = 0;
  new ResizeObserver(() => {
    clearTimeout(resting);
    resting = setTimeout(lay, 200);
  }).observe(box);
}

export const beats = () => score?.beats ?? [];
export const systems = () => [...box.querySelectorAll(".system")];

// Lay out empty systems of the width there is; each is filled when it comes near.
async function lay() {
  if (!parts.score) return;
  const width = Math.max(90, Math.floor((box.clientWidth - 24) / PIXELS_A_MM / 10 / scale()) * 10);
  const wanted = `${parts.score.sha256} ${width}`;
  if (wanted === shownFor) return learnHands();
  shownFor = wanted;
  const laid = await asked(`score/${width}`);
  if (wanted !== shownFor) return; // another width has been asked for meanwhile
  if (!laid || !parts.score) {
    shownFor = "";
    return;
  }
  score = laid;
  handsFor = parts.score.hands;
  drawn = score.firsts.slice(0, -1).map(() => null);
  watcher.disconnect();
  const lines = drawn.map((_, index) => {
    const [first, last] = [score.beats[score.firsts[index]], score.beats[score.firsts[index + 1] - 1]];
    const line = element("div", {
      class: "system",
      role: "group",
      "aria-label": t("page.system", { first: first?.[0] ?? "", last: last?.[0] ?? "" }),
    });
    line.dataset.index = index;
    line.append(element("span", { class: "from" }, first?.[0] ?? ""));
    line.append(...["ink", "shades", "digits"].map((layer) => element("div", { class: layer })));
    return line;
  });
  box.replaceChildren(...lines);
  lines.forEach((line) => watcher.observe(line));
  choose({ laid: true });
}

// The marks give notes to other hands: what is drawn is asked for again, where it stands.
function learnHands() {
  if (parts.score.hands === handsFor) return;
  handsFor = parts.score.hands;
  systems().filter((line) => drawn[Number(line.dataset.index)] !== null).forEach((line) => {
    drawn[Number(line.dataset.index)] = null;
    draw(line);
  });
}

// On small pages the music is a little smaller than on paper.
function scale() {
  return box.clientWidth < 700 ? 0.8 : 1;
}

async function draw(line) {
  const index = Number(line.dataset.index);
  if (drawn[index] !== null) return;
  drawn[index] = undefined;
  const [before, hands] = [score, handsFor];
  const system = await asked(`system/${score.width}/${index}`);
  if (before !== score || hands !== handsFor) return;
  if (!system) {
    drawn[index] = null;
    setTimeout(watchAnew, PAUSE, line);
    return;
  }
  watcher.unobserve(line);
  if (system.problem) {
    const said = t("page.cannot-draw", { reason: system.problem });
    line.querySelector(".ink").replaceChildren(element("p", { class: "hint" }, said));
    return;
  }
  drawn[index] = system;
  const ink = line.querySelector(".ink");
  ink.innerHTML = system.svg; // our own engraver's
  ink.firstElementChild.setAttribute("aria-hidden", "true");
  line.style.minHeight = "0";
  choose({ drawn: index });
}

// A line that is watched anew is told of, if it is in view.
function watchAnew(line) {
  if (!line.isConnected || parts.closed) return;
  watcher.unobserve(line);
  watcher.observe(line);
}

export const systemOf = (beat) => {
  let low = 0;
  while (low + 1 < drawn.length && score.firsts[low + 1] <= beat) low += 1;
  return low;
};

export const known = (index) => drawn[index] ?? null;

// The beat under a point of the page, and the hand of the note nearest to it; null beside the music.
export function beatAt(x, y) {
  const line = document.elementsFromPoint(x, y).find((each) => each.classList?.contains("system"));
  const system = line && known(Number(line.dataset.index));
  if (!system) return null;
  const ink = line.querySelector(".ink").getBoundingClientRect();
  const mm = ((x - ink.left) / ink.width) * system.width;
  const down = ((y - ink.top) / ink.height) * system.height;
  let index = 0;
  while (index + 2 < system.edges.length && system.edges[index + 1] - 1 <= mm) index += 1;
  const beat = system.first + index;
  return { beat, hand: handNear(system, mm, down) };
}

function handNear(system, mm, down) {
  let best = null;
  let least = Infinity;
  for (const [left, top, right, bottom, , hand] of system.notes) {
    const distance = Math.hypot((left + right) / 2 - mm, (top + bottom) / 2 - down);
    if (distance < least) [least, best] = [distance, hand];
  }
  return best;
}

// The strips of systems that beats `first` to `last` fill: [line, left, right], in shares of the width.
export function strips(first, last) {
  const found = [];
  if (!score) return found;
  const lines = systems();
  for (let index = systemOf(first); index < drawn.length && score.firsts[index] <= last; index += 1) {
    const system = known(index);
    if (!system || !lines[index]) continue;
    const from = Math.max(first, system.first) - system.first;
    const to = Math.min(last, score.firsts[index + 1] - 1) - system.first + 1;
    const left = from === 0 ? system.edges[0] - 2.5 : system.edges[from] - 1.2;
    found.push([lines[index], left / system.width, (system.edges[to] - 0.8) / system.width]);
  }
  return found;
}

export function reveal(beat) {
  systems()[systemOf(beat)]?.scrollIntoView({ block: "center", behavior: "auto" });
}

// "41-43", "41.2-43.1": how a range of beats is written in the marks.
export function rangeText(first, last) {
  const [from, to] = [beats()[first], beats()[last]];
  if (from[2] && to[3]) return from[0] === to[0] ? from[0] : `${from[0]}-${to[0]}`;
  const full = (beat) => `${beat[0]}.${beat[1]}`;
  if (first === last) return full(from);
  return `${full(from)}-${full(to)}`;
}
