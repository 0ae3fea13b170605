// What the page knows: the parts that the desk tells, and what is chosen here.
// Whoever shows something listens to the parts that it shows.

export const parts = {};
export const chosen = {
  passage: null, // its index
  fingers: null, // the hand whose fingers are set, at which onset, and the digits typed for it
  cursor: null, // beats, as all that follows: where the keyboard is,
  keyStart: null, // where it began to choose,
  anchor: null, // where a click began to,
  anchorHand: null, // the hand of the note there,
  range: null, // and what is chosen: the first and the last
};

const listeners = [];

// Call `listener` whenever one of `names` has changed.
export function listen(names, listener) {
  listeners.push([new Set(names), listener]);
}

// Take in what is new, and tell those who listen, each once.
export function takeNews(news) {
  for (const [name, part] of Object.entries(news)) {
    if (part === null) delete parts[name];
    else parts[name] = part;
  }
  tell(Object.keys(news).map((name) => (name.startsWith("drills ") ? "drills" : name)));
}

// Choose something on the page itself.
export function choose(changes) {
  Object.assign(chosen, changes);
  tell(Object.keys(changes));
}

export function passage() {
  return chosen.passage === null ? undefined : parts.passages?.[chosen.passage];
}

function tell(names) {
  for (const [wanted, listener] of listeners) {
    if (names.some((name) => wanted.has(name))) listener();
  }
}
