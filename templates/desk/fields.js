// Fields of the marks: each writes one place of the file when it is left, and shows what is wrong
// with what stands there.

import { element } from "./elements.js";
import { mending, mistakesAt } from "./mistakes.js";
import { change } from "./talk.js";

// Have `value` stand at `path` of the file; nothing takes away what stands there.
export const write = (path, value) => change([path, value === "" ? null : value]);

export function field(label, path, value, { long = false, hint = "" } = {}) {
  const id = `field-${path.join("-")}`;
  const input = element(long ? "textarea" : "input", {
    id,
    type: long ? null : "text",
    rows: long ? "2" : null,
    placeholder: hint,
    spellcheck: long ? "true" : "false",
    autocomplete: "off",
    onchange: leave,
    onblur: leave,
  });
  input.defaultValue = value ?? "";
  function leave() {
    if (input.value === input.defaultValue) return;
    input.defaultValue = input.value;
    write(path, input.value.trim());
  }
  const box = element("p", { class: "field" }, element("label", { for: id }, label), input);
  return told(box, input, path);
}

// One of several: `choices` are pairs of value and label.
export function choice(label, path, value, choices, write_ = write) {
  const name = `field-${path.join("-")}`;
  const box = element("fieldset", { class: "field choice" }, element("legend", {}, label));
  for (const [each, text] of choices) {
    const input = element("input", { type: "radio", name, value: each, onchange: () => write_(path, each) });
    input.checked = each === value;
    box.append(element("label", {}, input, text));
  }
  return told(box, box, path);
}

// A mistake in a line: what is wrong, the hint, and the way to the field that it asks for.
export function sentence(mistake) {
  const { message, hint } = mistake;
  const [said, way] = [hint ? element("i", {}, ` ${hint} `) : null, mending(mistake)];
  return [message, said, way].filter(Boolean);
}

// The field with its mistakes below it, told to a screen reader with the field.
export function told(box, input, path) {
  const mistakes = mistakesAt(...path);
  if (mistakes.length > 0) {
    const id = `mistake-${path.join("-")}`;
    input.setAttribute("aria-describedby", id);
    input.setAttribute("aria-invalid", "true");
    box.append(element("span", { class: "wrong", id }, ...mistakes.flatMap((each) => [...sentence(each), " "])));
  }
  return box;
}
