// The log as text, an entry a line, and back. Knows neither page nor storage.

import { isEntry, isText } from "./entries.js";

const HEAD = "log: 1\nentries:\n";
const FIRST = /^log: *0{0,8}1[ \t]*(#.*)?$/;
const OPENING = /^entries: *(\[ *\])?[ \t]*(#.*)?$/;
const IGNORED = /^([ \t]*(#.*)?|---|\.\.\.)$/;
const LONGEST_LINE = 20000;
const LINE = /^[ \t]*- +\{(.*)\}[ \t]*$/;
const PAIR = /([a-z]+): ("(?:[^"\\]|\\["\\/])*"|\[[\w.+/ ,-]*\]|[A-Za-z0-9][\w.+/-]*)(?:, |$)/y;
const PLAIN = /^[A-Za-z0-9][\w.+/-]*$/;
const ORDER = [
  "id", "day", "piece", "student", "drill", "passage", "lesson", "withdraws", "adopts",
  "mark", "beat", "clean", "minutes", "done", "word",
];

// 128 random bits, 32 digits.
export function freshId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// The calendar day of the device.
export function today(now = new Date()) {
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function quoted(text) {
  return PLAIN.test(text) ? text : `"${text.replaceAll("\\", "\\\\").replaceAll('"', '\\"')}"`;
}

function line(entry) {
  const pairs = ORDER.filter((key) => key in entry).map((key) => {
    const value = entry[key];
    if (Array.isArray(value)) return `${key}: [${value.join(", ")}]`;
    return `${key}: ${quoted(String(value))}`;
  });
  return `- {${pairs.join(", ")}}`;
}

// All entries as a log file, by day.
export function written(entries) {
  const order = (entry) => `${entry.day} ${entry.id}`;
  const sorted = [...entries].sort((a, b) => (order(a) < order(b) ? -1 : 1));
  return HEAD + sorted.map((entry) => `${line(entry)}\n`).join("");
}

function parsed(text) {
  const found = LINE.exec(text);
  if (!found || text.length > LONGEST_LINE || !isText(text)) return null;
  const entry = {};
  PAIR.lastIndex = 0;
  while (PAIR.lastIndex < found[1].length) {
    const pair = PAIR.exec(found[1]);
    if (!pair || pair[1] in entry) return null;
    entry[pair[1]] = valueOf(pair[2]);
  }
  return isEntry(entry) ? entry : null;
}

function valueOf(text) {
  if (text.startsWith('"')) return text.slice(1, -1).replace(/\\(.)/g, "$1");
  if (!text.startsWith("[")) return text;
  return text === "[]" ? [] : text.slice(1, -1).split(", ");
}

// The text of a file: UTF-8, whatever its first bytes say.
export function decoded(bytes) {
  return new TextDecoder().decode(bytes);
}

// What a log file holds: its entries, and how many of its lines are not understood. null: no log.
export function read(text) {
  const lines = text.split(/\r\n|\r|\n/);
  const told = lines.filter((each) => !IGNORED.test(each) || !isText(each));
  if (!FIRST.test(told[0] ?? "")) return null;
  const opening = told.findIndex((each) => OPENING.test(each));
  const before = opening < 0 ? told.slice(1) : told.slice(1, opening);
  const entries = opening < 0 ? [] : told.slice(opening + 1).map(parsed);
  const strange = before.length + entries.filter((each) => !each).length;
  return { entries: entries.filter(Boolean), strange };
}

// Two sets of entries as one.
export function union(some, others) {
  return [...new Map([...some, ...others].map((entry) => [line(entry), entry])).values()];
}

// Entries that count: not those that another withdraws.
export function counting(entries) {
  const gone = new Set(entries.map((entry) => entry.withdraws).filter(Boolean));
  return entries.filter((entry) => !gone.has(entry.id));
}
