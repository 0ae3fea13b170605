// Between the page and the desk: news come in, changes go out, and none is lost in silence.

import { chosen, parts, takeNews } from "./store.js";

let unanswered = []; // changes to which no answer came, in order
let refused = []; // the last change, where the desk did not take it
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
  const waiting = [...unanswered, ...refused];
  [unanswered, refused] = [[], []];
  for (const [path, body] of waiting) send(path, body);
  return last;
}

// Everything sent so far has been answered.
export const answered = () => last;

// Whether a change is not saved.
export const isWaiting = () => unanswered.length + refused.length > 0;

function send(path, body) {
  last = last.then(() => sendNow(path, body));
  return last;
}

async function sendNow(path, body) {
  const sent = JSON.stringify({ ...body, base: parts.file?.version ?? 0 });
  const change = path === "print" || path === "close" ? [] : [[path, body]];
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: sent,
    });
    const told = await answer.json();
    refused = answer.ok ? [] : change;
    if (answer.ok) parts.file = { ...parts.file, version: told.version };
    takeNews({ refused: answer.ok ? null : told });
    return answer.ok;
  } catch {
    unanswered.push(...change);
    takeNews({ lost: true });
    return false;
  }
}
