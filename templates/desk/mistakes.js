// What is wrong with the marks: here what belongs to no field of the open passage, and the file
// itself where it cannot be read at all.

import { chosen, choose, listen, parts } from "./store.js";
import { button, element } from "./elements.js";
import { t } from "./words.js";

const box = document.getElementById("mistakes");

export function showMistakes() {
  listen(["mistakes", "text", "passage", "passages"], show);
}

// The mistakes of a field: those that stand at its path or below it.
export function mistakesAt(...path) {
  return (parts.mistakes ?? []).filter((each) => path.every((step, index) => each.path[index] === step));
}

// A button to the field that a mistake asks for, among the file's own words; null where none does.
export function mending({ missing }) {
  if (!missing?.length) return null;
  const go = () => {
    choose({ passage: null, fingers: null });
    document.getElementById(`field-${missing.join("-")}`)?.focus();
  };
  return button(t(`file.${missing.at(-1)}`), go);
}

function show() {
  const mistakes = parts.mistakes ?? [];
  const isOpen = ([key, index]) => key === "passages" && index === chosen.passage;
  const elsewhere = mistakes.filter((each) => !isOpen(each.path));
  box.replaceChildren();
  if (mistakes.length === 0) return;
  const count = mistakes.length;
  const heading = t(count === 1 ? "mistakes.heading-one" : "mistakes.heading-many", { count });
  box.append(element("h2", {}, heading), ...elsewhere.map(one));
  if (parts.text) box.append(element("p", {}, t("mistakes.file", { file: parts.file?.name })), lines());
}

function one(mistake) {
  const index = mistake.path[0] === "passages" ? mistake.path[1] : null;
  const place = mistake.line ? t("mistakes.line", { line: mistake.line }) : mistake.place;
  return element(
    "div",
    { class: "mistake" },
    element("p", { class: "place" }, place),
    element("p", {}, mistake.message),
    mistake.hint ? element("p", { class: "hint" }, mistake.hint) : null,
    mending(mistake),
    typeof index === "number" && parts.passages?.[index]
      ? button(t("card.passage", { number: parts.passages[index].number }), () => open(index))
      : null,
  );
}

function open(passage) {
  choose({ passage, fingers: null });
}

function lines() {
  const wrong = new Set((parts.mistakes ?? []).map((each) => each.line));
  const pre = element("pre", { tabindex: "0" });
  parts.text.split(/\r\n|\r|\n/).forEach((line, index) => {
    pre.append(element(wrong.has(index + 1) ? "b" : "span", {}, `${String(index + 1).padStart(4)}  ${line}\n`));
  });
  return pre;
}
