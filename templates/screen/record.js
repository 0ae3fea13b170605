// What was done: shown a line a passage over the days, sent as a log, loaded back.

import { isText, targetOf } from "./entries.js";
import { counting, decoded, freshId, read, today, written } from "./log.js";
import { CLEAN } from "./pace.js";

// Bytes of a log that is read.
const LARGEST = 20e6;

// The days on which a passage was practised, and the best clean mark of each in parts of its goal,
// with its drill.
function days(entries, targets) {
  const found = new Map();
  for (const entry of counting(entries)) {
    const drill = targets.get(targetOf(entry));
    if (!drill) continue;
    const best = entry.clean >= CLEAN && entry.mark ? entry.mark / drill.ladder.marks.at(-1) : 0;
    if (best >= (found.get(entry.day)?.best ?? 0)) found.set(entry.day, { best, drill });
  }
  return [...found].sort(([a], [b]) => (a < b ? -1 : 1)).map(([day, of]) => ({ day, ...of }));
}

// What a file holds, read as a log; null for none, and for one that cannot be read.
async function logIn(file) {
  if (file.size > LARGEST) return null;
  try {
    return read(decoded(await file.arrayBuffer()));
  } catch {
    return null;
  }
}

export class Record {
  constructor(root, data, store, tell) {
    Object.assign(this, { root, data, store, tell });
    this.part = (name) => root.querySelector(`[data-part="${name}"]`);
    const work = {
      save: () => this.download(),
      share: () => this.share(),
      copy: () => this.copy(),
    };
    for (const [name, does] of Object.entries(work)) {
      this.part(name).addEventListener("click", () => does());
    }
    this.part("share").hidden = !navigator.canShare?.({ files: [this.file()] });
    this.part("load").addEventListener("change", (event) => this.load(event.target));
  }

  text() {
    return written(this.store.entries);
  }

  // The day is in it: it is no file that is there already, and least of all the log of the marks.
  name() {
    return `${this.data.logName}-${today()}.log.yaml`;
  }

  file() {
    return new File([this.text()], this.name(), { type: "application/yaml" });
  }

  sent() {
    this.store.unsaved = false;
  }

  download() {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(this.file());
    link.download = this.name();
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    this.sent();
  }

  async share() {
    try {
      await navigator.share({ files: [this.file()], title: this.name() });
      this.sent();
    } catch (error) {
      if (error.name !== "AbortError") this.tell(this.data.says.notShared);
    }
  }

  async copy() {
    const area = this.part("text");
    area.value = this.text();
    area.hidden = false;
    area.select();
    try {
      await navigator.clipboard.writeText(area.value);
      this.tell(this.data.says.copied);
    } catch {
      this.tell(this.data.says.selectAndCopy);
    }
    this.sent();
  }

  async load(input) {
    const [file] = input.files;
    input.value = "";
    if (!file) return;
    const found = await logIn(file);
    if (!found) {
      this.tell(this.data.says.noLog);
      return;
    }
    const { piece, student } = this.data.keys;
    const own = found.entries.filter((each) => each.piece === piece && each.student === student);
    const others = found.entries.length - own.length + found.strange;
    const said = this.data.says.loaded.replace("{count}", this.store.learn(own));
    this.tell(others ? `${said} ${this.data.says.others.replace("{count}", others)}` : said);
    this.show();
    this.onLoad?.();
  }

  date(day) {
    const [year, month, date] = day.split("-").map(Number);
    const form = { day: "numeric", month: "long" };
    const { lang } = document.documentElement;
    return new Date(year, month - 1, date).toLocaleDateString(lang === "en" ? "en-GB" : lang, form);
  }

  // A drill as its page calls it.
  nameOf(drill) {
    const number = this.data.drills.indexOf(drill);
    return document.querySelector(`[data-drill="${number}"] h1 b`).textContent;
  }

  // A word of the student's about a passage.
  noting(passage) {
    const { word, note, noted } = this.data.says;
    const form = document.createElement("p");
    const field = document.createElement("input");
    field.maxLength = 300;
    field.placeholder = word;
    field.setAttribute("aria-label", `${passage.heading}: ${word}`);
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = note;
    button.setAttribute("aria-label", `${passage.heading}: ${note}`);
    const keep = () => {
      const signs = [...field.value].filter(isText).join("");
      const text = signs.replace(/\s+/g, " ").trim();
      if (!text) return;
      const { piece, student } = this.data.keys;
      this.store.add([{ id: freshId(), day: today(), piece, student, passage: passage.id, word: text }]);
      field.value = "";
      this.tell(noted);
    };
    button.addEventListener("click", keep);
    field.addEventListener("keydown", (event) => event.key === "Enter" && keep());
    form.className = "noting";
    form.append(field, button);
    return form;
  }

  // A line a passage: a dot a day, the higher the nearer to the goal.
  show() {
    const list = this.part("days");
    list.replaceChildren(...this.data.passages.map((passage) => {
      const targets = new Map(
        this.data.drills.filter((each) => each.passage === passage.id).map((each) => [each.target, each]),
      );
      const found = days(this.store.entries, targets);
      const item = document.createElement("li");
      const name = document.createElement("b");
      name.textContent = passage.heading;
      const words = document.createElement("span");
      const { nothingYet, dayAt, dayTried } = this.data.says;
      const said = found.slice(-5).map(({ day, best, drill }) => (best ? dayAt : dayTried)
        .replace("{day}", this.date(day)).replace("{drill}", this.nameOf(drill))
        .replace("{part}", Math.round(100 * best)));
      words.textContent = found.length ? said.join("; ") : nothingYet;
      item.append(name, " ", ...(found.length > 1 ? [drawn(found)] : []), words, this.noting(passage));
      return item;
    }));
  }
}

const SVG = "http://www.w3.org/2000/svg";

function drawn(found) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 300 40");
  svg.setAttribute("aria-hidden", "true");
  const step = Math.min(24, 290 / Math.max(1, found.length));
  const point = ({ best }, index) => `${6 + index * step},${(36 - 32 * Math.min(1, best)).toFixed(1)}`;
  const line = document.createElementNS(SVG, "polyline");
  line.setAttribute("points", found.map(point).join(" "));
  svg.append(line);
  for (const each of found.map(point)) {
    const dot = document.createElementNS(SVG, "circle");
    const [x, y] = each.split(",");
    dot.setAttribute("cx", x);
    dot.setAttribute("cy", y);
    dot.setAttribute("r", 3.5);
    svg.append(dot);
  }
  return svg;
}
