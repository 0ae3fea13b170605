// All passages, what the survey would mark where there is none, the file's own words, and what the
// tool has to say of the whole.

import { choose, parts } from "./store.js";
import { markOf } from "./card_of_passage.js";
import { button, element } from "./elements.js";
import { field } from "./fields.js";
import { markAs } from "./marking.js";
import { reveal } from "./score.js";
import { t } from "./words.js";

export function cardOfAll() {
  const passages = parts.passages ?? [];
  return [
    ...(passages.length > 0 ? listed("page.passages", "ol", passages.map(row)) : beginning()),
    ...(parts.file?.isThere ? ownWords(parts.head ?? {}, parts.base ?? {}, parts.score ?? {}) : []),
    ...listed("file.notices", "ul", (parts.notices ?? []).map((each) => element("li", {}, each))),
  ];
}

function listed(title, kind, items) {
  if (items.length === 0) return [];
  return [element("h2", {}, t(title)), element(kind, { class: "list" }, ...items)];
}

function beginning() {
  return [
    element("p", { class: "first" }, t("page.empty")),
    element("p", { class: "hint" }, t("page.empty-how")),
    ...listed("file.proposals", "ul", (parts.proposals ?? []).map(proposal)),
  ];
}

// What the file says of itself; the base's and the score's words where it says nothing.
function ownWords(head, base, score) {
  const date = { hint: t("file.date") };
  const goal = [head.tempo?.goal, base.tempo?.goal].map(markOf);
  return [
    element("h2", {}, t("file.who")),
    field(t("file.title"), ["piece", "title"], head.piece?.title, { hint: base.piece?.title ?? score.title }),
    field(t("file.composer"), ["piece", "composer"], head.piece?.composer, {
      hint: base.piece?.composer ?? score.composer,
    }),
    field(t("file.student"), ["student", "name"], head.student?.name),
    field(t("file.teacher"), ["teacher"], head.teacher, { hint: base.teacher }),
    field(t("file.performance"), ["performance"], head.performance, date),
    field(t("file.lesson"), ["lesson"], head.lesson, date),
    field(t("file.goal"), ["tempo", "goal"], goal[0], { hint: goal[1] }),
  ];
}

function row({ index, number, measures, fields, whole, span }) {
  const open = () => {
    choose({ passage: index, fingers: null });
    if (span) reveal(span[0]);
  };
  const said = fields.status === "done" ? t("card.done") : (whole.trouble ?? "");
  const label = `${t("card.passage", { number })}, ${measures}`;
  return element("li", {}, button(label, open), element("span", {}, ` ${said}`));
}

function proposal({ measures, hand, said, span }) {
  const label =
    hand === "both"
      ? t("file.proposal-both", { measures })
      : t("file.proposal", { measures, hand: t(`card.${hand}`) });
  const see = { onfocus: () => reveal(span[0]) };
  return element("li", {}, button(label, () => markAs(measures, hand), see), element("span", {}, ` ${said}`));
}
