// What lies over the score: marked passages shaded and numbered, what the survey would mark
// outlined, what is being chosen, and the place where the keyboard is.

import { choose, chosen, listen, parts } from "./store.js";
import { button, element } from "./elements.js";
import { strips, systems } from "./score.js";
import { t } from "./words.js";

export function showShades() {
  listen(["passages", "proposals", "drawn", "laid", "passage", "range", "cursor", "anchor", "fingers"], soon);
}

let due = false;

// Many systems come into view at once: shade them once a frame.
function soon() {
  if (due) return;
  due = true;
  requestAnimationFrame(() => {
    due = false;
    shade();
  });
}

function shade() {
  for (const line of systems()) line.querySelector(".shades").replaceChildren();
  for (const each of parts.passages ?? []) if (each.span) passage(each);
  if ((parts.passages ?? []).length === 0) for (const each of parts.proposals ?? []) place(...each.span, "proposal");
  if (chosen.range) place(...chosen.range, "range");
  if (chosen.anchor !== null) place(chosen.anchor, chosen.anchor, "anchor");
  if (chosen.cursor !== null) place(chosen.cursor, chosen.cursor, "cursor");
}

function passage(each) {
  const isOpen = chosen.passage === each.index;
  const name = `passage${isOpen ? " open" : ""}${each.fields.status === "done" ? " done" : ""}`;
  place(...each.span, name).forEach((shade, index) => {
    if (index > 0) return;
    shade.append(
      button(each.number, () => choose({ passage: each.index, fingers: null }), {
        class: "number",
        "aria-label": `${t("card.passage", { number: each.number })}, ${each.measures}`,
        "aria-pressed": String(isOpen),
      }),
    );
  });
}

function place(first, last, name) {
  return strips(first, last).map(([line, left, right]) => {
    const shade = element("div", { class: `shade ${name}` });
    shade.style.left = `${100 * left}%`;
    shade.style.width = `${100 * Math.max(right - left, 0.005)}%`;
    line.querySelector(".shades").append(shade);
    return shade;
  });
}
