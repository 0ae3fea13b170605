// The card beside the score: the open passage with its fields, or all passages and the file's own
// words. Knows when it is to be made anew, not what stands on it.

import { chosen, listen, parts, passage } from "./store.js";
import { cardOfAll } from "./card_of_all.js";
import { cardOfPassage } from "./card_of_passage.js";

const box = document.getElementById("card");
let shown = "";
let count = 0; // passages when it was shown

export function showCard() {
  listen(["passages", "passage", "mistakes", "notices", "proposals", "file", "head", "base", "text"], show);
}

// Fields are made anew only where what they show has changed.
function show() {
  const open = parts.text ? null : passage();
  const wanted = JSON.stringify([chosen.passage, parts.mistakes, open ? seenOfPassage(open) : seenOfAll()]);
  if (wanted === shown) return;
  shown = wanted;
  if (parts.text) renew([]);
  else renew(open ? cardOfPassage(open) : cardOfAll());
}

function seenOfPassage({ fields, whole, lines }) {
  const hands = Object.entries(lines).map(([hand, line]) => [hand, line.length > 0]);
  return [fields, whole, hands];
}

function seenOfAll() {
  const rows = parts.passages?.map((each) => [each.number, each.measures, each.whole.trouble, each.fields.status]);
  return [rows, parts.proposals, parts.head, parts.base, parts.notices, parts.file?.isThere];
}

// Put up new fields; the focus stays, and what is being typed, where the same passages are listed.
function renew(children) {
  const before = document.activeElement;
  const isTyping = box.contains(before) && "defaultValue" in before && before.value !== before.defaultValue;
  const [typed, start, end] = [before?.value, before?.selectionStart, before?.selectionEnd];
  if (isTyping) before.defaultValue = typed; // it is not left, and not written yet
  const isSame = count === (parts.passages?.length ?? 0);
  count = parts.passages?.length ?? 0;
  box.replaceChildren(...children);
  const after = before?.id && box.querySelector(`#${CSS.escape(before.id)}`);
  if (!after) return;
  if (isTyping && isSame) after.value = typed;
  after.focus({ preventScroll: true });
  if (typeof start === "number" && after.setSelectionRange) after.setSelectionRange(start, end);
}
