// Between the page and the desk: news come in, changes go out, and none is lost in silence.

import { chosen, parts, takeNews } from "./store.js";

let unsaved = []; // changes that the desk has not taken, in order, with the version each was made at
let last = Promise.resolve(); // what is sent waits for the answer to what was sent before

// Listen to the desk; it tells everything at first, then what changes.
export function connect() {
  const source = new EventSource("events");
  source.onmessage = (event) => {
    const news = JSON.parse(event.data);
    if (news.closed) source.close();
    takeNews({ lost: null, ...news });
  };
  source.onerror = () => takeNews(parts.closed ? {} : { lost: true });
  addEventListener("beforeunload", (event) => {
    if (isWaiting()) event.preventDefault();
  });
}

// What the desk answers to a question; null where it has none, or does not answer at all.
export async function asked(path) {
  try {
    const answer = await fetch(path);
    return answer.ok ? await answer.json() : null;
  } catch {
    return null; // that the desk is lost is told by its news
  }
}

// Change the marks: each edit is a path and what is to stand there, null for nothing.
export const change = (...edits) => send("change", { edits });
export const undo = () => send("undo", {});
export const redo = () => send("redo", {});
export const makeBooklet = () => send("print", {});
export const putAway = () => send("close", {});

export function finger(hand, onset, word) {
  return send("finger", { passage: chosen.passage, hand, onset, word });
}

// Send what is not saved once more, in its order.
export function again() {
  for (const sent of unsaved) last = last.then(() => unsaved.includes(sent) && sendNow(sent));
  return last;
}

// Let what is not saved go.
export function letGo() {
  unsaved = [];
  takeNews({ refused: null });
}

// Everything sent so far has been answered.
export const answered = () => last;

// Whether a change is not saved.
export const isWaiting = () => unsaved.length > 0;

function send(path, body) {
  last = last.then(() => sendNow({ path, body }));
  return last;
}

async function sendNow(sent) {
  sent.base ??= parts.file?.version ?? 0;
  try {
    const answer = await fetch(sent.path, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ ...sent.body, base: sent.base }),
    });
    const told = await answer.json();
    if (answer.ok) taken(sent, told.version);
    else refused(sent, told);
    takeNews({ refused: answer.ok ? (unsaved.find((each) => each.told)?.told ?? null) : told });
    return answer.ok;
  } catch {
    keep(sent);
    takeNews({ lost: true });
    return false;
  }
}

// What waits from before for the same place has been done anew, and what waits was made at `version`
// too, if it was made at the version that this was made at.
function taken(sent, version) {
  parts.file = { ...parts.file, version };
  const place = unsaved.indexOf(sent);
  const isOver = (each, index) => (place < 0 || index <= place) && aim(each) === aim(sent);
  unsaved = unsaved.filter((each, index) => !isOver(each, index));
  for (const each of unsaved) if (each.base === sent.base) each.base = version;
}

// The desk has not done it: made again, it is made at the version that the page shows by then. Not
// so what done twice is another thing than done once, for it may have been done unheard.
function refused(sent, told) {
  sent.told = told;
  if (!isStep(sent)) sent.base = undefined;
  keep(sent);
}

function keep(sent) {
  if (sent.path !== "print" && sent.path !== "close" && !unsaved.includes(sent)) unsaved.push(sent);
}

// A step back or forward, or a passage that comes or goes, by its number.
function isStep({ path, body }) {
  const isPassage = ([at]) => at.length === 2 && at[0] === "passages";
  return path === "undo" || path === "redo" || (body.edits ?? []).some(isPassage);
}

// What a change is for: two for the same place are for the same, whatever is to stand there.
function aim(sent) {
  const { passage, hand, onset, edits } = sent.body;
  if (isStep(sent)) return JSON.stringify([sent.path, sent.body]);
  return JSON.stringify([sent.path, passage, hand, onset, edits?.map(([at]) => at)]);
}
