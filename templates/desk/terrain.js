// The piece in one line: what each hand has to do beat by beat, the passages named; a click goes there.

import { choose, chosen, listen, parts } from "./store.js";
import { beats, reveal } from "./score.js";
import { t } from "./words.js";

const SPACE = "http://www.w3.org/2000/svg";
const HIGH = 20;
const box = document.getElementById("terrain");

export function showTerrain() {
  listen(["terrain", "laid", "passages", "passage"], draw);
  box.addEventListener("click", (event) => {
    const frame = box.getBoundingClientRect();
    const beat = Math.floor(((event.clientX - frame.left) / frame.width) * beats().length);
    if (beats()[beat]) {
      reveal(beat);
      choose({ cursor: beat });
    }
  });
}

function draw() {
  const heights = parts.terrain;
  if (!heights || beats().length === 0) return;
  const svg = made("svg", {
    viewBox: `0 ${-HIGH} ${heights.length} ${2 * HIGH}`,
    preserveAspectRatio: "none",
    role: "img",
    "aria-label": t("page.terrain"),
  });
  for (const each of parts.passages ?? []) {
    if (!each.span) continue;
    const [first, last] = each.span;
    const width = Math.max(last - first + 1, heights.length / 250);
    const kind = chosen.passage === each.index ? "passage open" : "passage";
    svg.append(made("rect", { x: first, width, y: -HIGH, height: 2 * HIGH, class: kind }));
  }
  const up = (height) => (height * HIGH * 0.9).toFixed(1);
  const hill = (side, way) => {
    const steps = heights.map((pair, index) => `H${index}V${up(way * pair[side])}H${index + 1}`);
    return `M0 0${steps.join("")}V0Z`;
  };
  svg.append(made("path", { d: hill(0, -1), class: "right" }), made("path", { d: hill(1, 1), class: "left" }));
  box.replaceChildren(svg);
}

function made(name, attributes) {
  const element = document.createElementNS(SPACE, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  return element;
}
