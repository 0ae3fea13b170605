// The log as text, an entry a line, and back. Knows neither page nor storage.

const HEAD = "log: 1\nentries:\n";
const LINE = /^\s*-\s+\{(.*)\}\s*$/;
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

export function line(entry) {
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
  if (!found) return null;
  const entry = {};
  PAIR.lastIndex = 0;
  while (PAIR.lastIndex < found[1].length) {
    const pair = PAIR.exec(found[1]);
    if (!pair || pair[1] in entry) return null;
    entry[pair[1]] = valueOf(pair[2]);
  }
  const number = (key) => !(key in entry) || Number.isFinite(Number(entry[key]));
  const known = Object.keys(entry).every((key) => ORDER.includes(key));
  return known && entry.id && entry.day && ["mark", "clean", "minutes"].every(number) ? entry : null;
}

function valueOf(text) {
  if (text.startsWith('"')) return JSON.parse(text);
  if (!text.startsWith("[")) return text;
  return text === "[]" ? [] : text.slice(1, -1).split(", ");
}

// What a log file holds: its entries, and how many of its lines are not understood. null: no log.
export function read(text) {
  const lines = text.replace(/^\uFEFF/, "").split(/\r\n|\r|\n/);
  const told = lines.filter((each) => each.trim() && !each.trim().startsWith("#"));
  if (!/^log: *1\s*(#.*)?$/.test(told[0] ?? "")) return null;
  const rest = told.slice(1).filter((each) => !/^entries:\s*(\[ *\])?\s*(#.*)?$/.test(each));
  const entries = rest.map(parsed);
  return { entries: entries.filter(Boolean), strange: entries.filter((each) => !each).length };
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
