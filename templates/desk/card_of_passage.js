// The open passage, field by field: each writes one place of the file.

import { choose } from "./store.js";
import { button, element } from "./elements.js";
import { choice, field, sentence, told, write } from "./fields.js";
import { mistakesAt } from "./mistakes.js";
import { reveal } from "./score.js";
import { change } from "./talk.js";
import { families, t } from "./words.js";

const MARKS = ["start", "reached", "goal"];
const KEYS = ["measures", "hand", "trouble", "drills", "fingering", "status", "remarks", "private"];

// Whether there is a field here that tells what is wrong at `path`.
const isTold = ([, , key, mark]) => KEYS.includes(key) || (key === "tempo" && MARKS.includes(mark));

// What another file gives stands in `whole` and is shown where this one has nothing of its own.
export function cardOfPassage({ index, number, fields, whole, span, lines }) {
  const at = (...keys) => ["passages", index, ...keys];
  const hand = whole.hand ?? "both";
  return [
    element(
      "div",
      { class: "row head" },
      element("h2", {}, t("card.passage", { number })),
      button(t("card.go"), () => span && reveal(span[0])),
      button(t("card.back"), () => choose({ passage: null, fingers: null })),
    ),
    ...mistakesAt("passages", index)
      .filter((each) => !isTold(each.path))
      .map((each) => element("p", { class: "wrong" }, ...sentence(each))),
    field(t("card.measures"), at("measures"), fields.measures, { hint: whole.measures }),
    choice(t("card.hand"), at("hand"), hand, named(["right", "left", "both"])),
    field(t("card.trouble"), at("trouble"), fields.trouble, { long: true, hint: whole.trouble }),
    drills(at("drills"), whole.drills),
    fingers(at("fingering"), hand, lines, span),
    metronome(at("tempo"), fields.tempo, whole.tempo),
    status(at("status"), fields.status),
    field(t("card.remarks"), at("remarks"), fields.remarks, { long: true, hint: whole.remarks }),
    field(t("card.private"), at("private"), fields.private, { long: true }),
    element("p", {}, button(t("card.remove"), () => change([at(), null]), { class: "quiet" })),
  ];
}

const named = (values) => values.map((each) => [each, t(`card.${each}`)]);

// A mark, alone or with the day on which it was reached.
export const markOf = (value) => (typeof value === "string" ? value : (value?.mark ?? ""));

function metronome(path, tempo, theirs) {
  const [own, given] = [tempo, theirs].map((each) => (typeof each === "object" ? each : {}));
  const fields = MARKS.map((each) =>
    field(t(`card.${each}`), [...path, each], markOf(own[each]), { hint: markOf(given[each]) }),
  );
  return element("fieldset", { class: "field metronome" }, element("legend", {}, t("card.tempo")), ...fields);
}

// "learning" is what stands nowhere.
function status(path, value = "learning") {
  const put = (_, each) => write(path, each === "learning" ? "" : each);
  return choice(t("card.status"), path, value, named(["learning", "warm-up", "done"]), put);
}

// Which drills: what suits, everything, or those that are ticked; options of a family are kept.
function drills(path, value) {
  const listed = Array.isArray(value) ? value : [];
  const mode = value === "everything" ? "everything" : value === undefined ? "suit" : "these";
  const legend = element("legend", {}, t("card.drills"));
  const group = element("fieldset", { class: "field choice", id: "drill-choice" }, legend);
  for (const [each, written] of [["suit", ""], ["everything", "everything"], ["these", ["as-written"]]]) {
    const input = element("input", {
      type: "radio",
      name: "drill-mode",
      id: `drill-mode-${each}`,
      onchange: () => write(path, written),
    });
    input.checked = each === mode;
    group.append(element("label", {}, input, t(`card.drills-${each}`)));
  }
  if (mode === "these") group.append(ticks(path, listed));
  return told(group, group, path);
}

// A box a family; with none ticked the passage alone is left, and with it that goes.
function ticks(path, listed) {
  const alone = "as-written";
  const nameOf = (each) => (typeof each === "string" ? each : Object.keys(each)[0]);
  const box = element("div", { class: "ticks" });
  for (const [family, text] of Object.entries(families())) {
    if (family === alone) continue;
    const input = element("input", {
      type: "checkbox",
      id: `drill-${family}`,
      onchange: () => {
        const others = listed.filter((each) => nameOf(each) !== family);
        const kept = others.length === 1 && others[0] === alone ? [] : others;
        const wanted = input.checked ? [...kept, family] : kept;
        write(path, wanted.length > 0 ? wanted : [alone]);
      },
    });
    input.checked = listed.some((each) => nameOf(each) === family);
    box.append(element("label", {}, input, text));
  }
  return box;
}

function fingers(path, hand, lines, span) {
  const hands = ["right", "left"].filter((each) => (hand === "both" || hand === each) && lines[each]?.length);
  const legend = element("legend", {}, t("card.fingers"));
  const group = element("fieldset", { class: "field", id: "finger-choice" }, legend);
  for (const each of hands) {
    const begin = () => {
      choose({ fingers: { hand: each, onset: 0, typed: [] } });
      if (span) reveal(span[0]);
    };
    group.append(button(t(`card.fingers-${each}`), begin));
  }
  return told(group, group, path);
}
