// Between the page and the desk: news come in, changes go out, and none is lost in silence.

import { chosen, parts, take } from "./store.js";

let failed = null;
let last = Promise.resolve(); // what is sent waits for the answer to what was sent before

// Listen to the desk; it tells everything at first, then what changes.
export function connect() {
  const source = new EventSource("events");
  source.onmessage = (event) => {
    const news = JSON.parse(event.data);
    if (news.closed) source.close();
    take({ lost: null, ...news });
  };
  source.onerror = () => take(parts.closed ? {} : { lost: true });
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

// Send what could not be sent once more.
export function again() {
  const [path, body] = failed;
  return send(path, body);
}

// Everything sent so far has been answered.
export const answered = () => last;

export const hasFailed = () => failed !== null;

function send(path, body) {
  last = last.then(() => sendNow(path, body));
  return last;
}

async function sendNow(path, body) {
  const sent = JSON.stringify({ ...body, base: parts.file?.version ?? 0 });
  try {
    const answer = await fetch(path, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: sent,
    });
    const told = await answer.json();
    failed = answer.ok ? null : [path, body];
    if (answer.ok) parts.file = { ...parts.file, version: told.version };
    take({ refused: answer.ok ? null : told });
    return answer.ok;
  } catch {
    failed = [path, body];
    take({ lost: true });
    return false;
  }
}
