// What an entry of a log can be, the same that the tool takes in. Knows texts and numbers, no lines.

const COMMON = ["id", "day", "piece", "student"];
const PRACTISED = ["mark", "beat", "clean", "minutes", "word"];
const KINDS = {
  drill: PRACTISED, passage: PRACTISED, lesson: ["done"], withdraws: [], adopts: [],
};
const NOT_TEXT = /[^\t\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffc\u{10000}-\u{10ffff}]/u;
const BEATS = [
  "whole", "dotted-half", "half", "dotted-quarter", "quarter", "dotted-eighth", "eighth", "16th",
];

// Whether it is nothing but text: no control characters, nothing that could not be decoded.
export function isText(text) {
  return !NOT_TEXT.test(text);
}

function isDay(text) {
  if (!/^(19|2\d)\d\d-\d\d-\d\d$/.test(text)) return false;
  const day = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text);
}

function isId(text) {
  return text.length <= 60 && /^[A-Za-z0-9]+([-_][A-Za-z0-9]+)*$/.test(text)
    && !/^(con|prn|aux|nul|com\d|lpt\d)$/i.test(text);
}

function isDrill(text) {
  return text.length <= 200 && text.includes(".") && /^[A-Za-z0-9]+([-_.][A-Za-z0-9]+)*$/.test(text);
}

function isWhole(text, least, most) {
  return /^\d{1,9}$/.test(text) && Number(text) >= least && Number(text) <= most;
}

function areIds(value) {
  const ids = [value].flat().map(String);
  return ids.length <= 200 && ids.every(isId) && new Set(ids).size === ids.length;
}

const VALUES = {
  id: (text) => /^[0-9a-f]{32}$/.test(text),
  day: isDay,
  piece: (text) => /^[0-9a-f]{16}$/.test(text),
  student: (text) => /^[0-9a-f]{16}$/.test(text),
  drill: isDrill,
  passage: isId,
  withdraws: (text) => /^[0-9a-f]{32}$/.test(text),
  adopts: (text) => /^[0-9a-f]{16}$/.test(text),
  mark: (text) => isWhole(text, 10, 600),
  beat: (text) => BEATS.includes(text) || /^[1-9]\d?(\/[1-9]\d?)?$/.test(text),
  clean: (text) => isWhole(text, 0, 99),
  minutes: (text) => /^\d{1,9}(\.\d{1,9})?$/.test(text) && Number(text) <= 600,
  word: (text) => [...text].length <= 300,
};

function isSound(key, value) {
  if (key === "lesson" || key === "done") return areIds(value);
  return !Array.isArray(value) && VALUES[key](String(value));
}

// Whether the tool would take it: one thing said, all of it known, whole, and possible.
export function isEntry(entry) {
  const keys = Object.keys(entry ?? {}).filter((key) => entry[key] !== "");
  const kinds = keys.filter((key) => Object.hasOwn(KINDS, key));
  if (kinds.length !== 1 || !COMMON.every((key) => keys.includes(key))) return false;
  const known = [...COMMON, ...kinds, ...KINDS[kinds[0]]];
  const together = ["mark", "beat", "clean"].filter((key) => keys.includes(key)).length;
  return [0, 3].includes(together)
    && Object.keys(entry).every((key) => known.includes(key))
    && keys.every((key) => isSound(key, entry[key]));
}

// What an entry says something of, as a drill of the page calls it.
export function targetOf(entry) {
  return entry.drill ? `drill ${entry.drill}` : `passage ${entry.passage}`;
}
