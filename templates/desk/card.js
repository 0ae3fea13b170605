// The card beside the score: the open passage with its fields, or all passages and the file's own
// words, and what the survey would mark where nothing is marked yet.

import { choose, chosen, listen, parts, passage } from "./store.js";
import { button, element } from "./elements.js";
import { choice, field, told, write } from "./fields.js";
import { mistakesAt } from "./mistakes.js";
import { markAs } from "./marking.js";
import { reveal } from "./score.js";
import { change } from "./talk.js";
import { families, t } from "./words.js";

const box = document.getElementById("card");
let shown = "";
let count = 0; // passages when it was shown

export function showCard() {
  listen(["passages", "passage", "mistakes", "proposals", "file", "head", "base", "text"], show);
}

// Fields are made anew only where what they show has changed.
function show() {
  const open = parts.text ? null : passage();
  const wanted = JSON.stringify([open?.fields ?? null, open?.whole ?? null, Object.entries(open?.lines ?? {}).map(([hand, line]) => [hand, line.length > 0]), chosen.passage, open ? parts.mistakes : null, open ? null : [parts.passages?.map((each) => [each.number, each.measures, each.whole.trouble, each.fields.status]), parts.proposals, parts.head, parts.base, parts.mistakes]]);
  if (wanted === shown) return;
  shown = wanted;
  renew(parts.text ? [] : open ? onePassage(open) : allPassages());
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

// What another file gives stands in `whole` and is shown where this one has nothing of its own.
function onePassage({ index, number, fields, whole, span, lines }) {
  const at = (...keys) => ["passages", index, ...keys];
  const hand = whole.hand ?? "both";
  const [tempo, theirs] = [fields.tempo, whole.tempo].map((each) => (typeof each === "object" ? each : {}));
  return [
    element(
      "div",
      { class: "row head" },
      element("h2", {}, t("card.passage", { number })),
      button(t("card.go"), () => span && reveal(span[0])),
      button(t("card.back"), () => choose({ passage: null, fingers: null })),
    ),
    ...mistakesAt("passages", index).filter((each) => each.path.length === 2).map((each) => element("p", { class: "wrong" }, each.message, element("i", {}, ` ${each.hint}`))),
    field(t("card.measures"), at("measures"), fields.measures, { hint: whole.measures }),
    choice(t("card.hand"), at("hand"), hand, ["right", "left", "both"].map((each) => [each, t(`card.${each}`)])),
    field(t("card.trouble"), at("trouble"), fields.trouble, { long: true, hint: whole.trouble }),
    drills(at("drills"), whole.drills),
    fingers(index, hand, lines),
    told(
      element(
        "fieldset",
        { class: "field metronome" },
        element("legend", {}, t("card.tempo")),
        ...["start", "reached", "goal"].map((each) => field(t(`card.${each}`), at("tempo", each), plain(tempo[each]), { hint: plain(theirs[each]) })),
      ),
      box,
      at("tempo", ""),
    ),
    choice(t("card.status"), at("status"), fields.status ?? "learning", ["learning", "warm-up", "done"].map((each) => [each, t(`card.${each}`)]), (path, value) => write(path, value === "learning" ? "" : value)),
    field(t("card.remarks"), at("remarks"), fields.remarks, { long: true, hint: whole.remarks }),
    field(t("card.private"), at("private"), fields.private, { long: true }),
    element("p", {}, button(t("card.remove"), () => change([["passages", index], null]), { class: "quiet" })),
  ];
}

const plain = (value) => (typeof value === "string" ? value : (value?.mark ?? ""));

// Which drills: what suits, everything, or those that are ticked; options of a family are kept.
function drills(path, value) {
  const listed = Array.isArray(value) ? value : [];
  const names = listed.map((each) => (typeof each === "string" ? each : Object.keys(each)[0]));
  const mode = value === "everything" ? "everything" : value === undefined ? "suit" : "these";
  const group = element("fieldset", { class: "field choice", id: "drill-choice" }, element("legend", {}, t("card.drills")));
  for (const each of ["suit", "everything", "these"]) {
    const input = element("input", { type: "radio", name: "drill-mode", id: `drill-mode-${each}`, onchange: () => write(path, each === "suit" ? "" : each === "everything" ? "everything" : ["as-written"]) });
    input.checked = each === mode;
    group.append(element("label", {}, input, t(`card.drills-${each}`)));
  }
  if (mode === "these") group.append(ticks(path, listed, names));
  return told(group, group, path);
}

function ticks(path, listed, names) {
  const box = element("div", { class: "ticks" });
  for (const [family, text] of Object.entries(families())) {
    const input = element("input", {
      type: "checkbox",
      id: `drill-${family}`,
      onchange: () => {
        const kept = listed.filter((_, index) => names[index] !== family && !(names[index] === "as-written" && listed.length === 1));
        write(path, input.checked ? [...kept, family] : kept.length > 0 ? kept : ["as-written"]);
      },
    });
    input.checked = names.includes(family);
    if (family !== "as-written") box.append(element("label", {}, input, text));
  }
  return box;
}

function fingers(index, hand, lines) {
  const hands = ["right", "left"].filter((each) => (hand === "both" || hand === each) && lines[each]?.length);
  const group = element("fieldset", { class: "field", id: "finger-choice" }, element("legend", {}, t("card.fingers")));
  for (const each of hands) {
    group.append(button(t(`card.fingers-${each}`), () => choose({ fingers: { hand: each, onset: 0, typed: [] } })));
  }
  return told(group, group, ["passages", index, "fingering"]);
}

function allPassages() {
  const passages = parts.passages ?? [];
  const [head, base] = [parts.head ?? {}, parts.base ?? {}];
  return [
    ...(passages.length === 0 ? [element("p", { class: "first" }, t("page.empty")), element("p", { class: "hint" }, t("page.empty-how"))] : [element("h2", {}, t("page.passages")), element("ol", { class: "list" }, ...passages.map(row))]),
    ...(passages.length === 0 && parts.proposals?.length ? [element("h2", {}, t("file.proposals")), element("ul", { class: "list" }, ...parts.proposals.map(proposal))] : []),
    ...(parts.file?.isThere
      ? [
          element("h2", {}, t("file.who")),
          field(t("file.title"), ["piece", "title"], head.piece?.title, { hint: base.piece?.title ?? parts.score?.title }),
          field(t("file.composer"), ["piece", "composer"], head.piece?.composer, { hint: base.piece?.composer ?? parts.score?.composer }),
          field(t("file.student"), ["student", "name"], head.student?.name),
          field(t("file.teacher"), ["teacher"], head.teacher, { hint: base.teacher }),
          field(t("file.performance"), ["performance"], head.performance, { hint: t("file.date") }),
          field(t("file.lesson"), ["lesson"], head.lesson, { hint: t("file.date") }),
          field(t("file.goal"), ["tempo", "goal"], plain(head.tempo?.goal), { hint: plain(base.tempo?.goal) }),
        ]
      : []),
  ];
}

function row({ index, number, measures, fields, whole, span }) {
  const label = `${t("card.passage", { number })}, ${measures}`;
  const open = () => {
    choose({ passage: index, fingers: null });
    if (span) reveal(span[0]);
  };
  return element("li", {}, button(label, open), element("span", {}, fields.status === "done" ? ` ${t("card.done")}` : ` ${whole.trouble ?? ""}`));
}

function proposal({ measures, hand, said, span }) {
  const label = hand === "both" ? t("file.proposal-both", { measures }) : t("file.proposal", { measures, hand: t(`card.${hand}`) });
  return element("li", {}, button(label, () => markAs(measures, hand), { onfocus: () => reveal(span[0]) }), element("span", {}, ` ${said}`));
}
