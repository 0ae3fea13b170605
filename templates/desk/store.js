// What the page knows: the parts that the desk tells, and what is chosen here.
// Whoever shows something listens to the parts that it shows.

export const parts = {};
export const chosen = { passage: null, cursor: null, anchor: null, range: null, fingers: null };

const listeners = [];

// Call `listener` whenever one of `names` has changed.
export function listen(names, listener) {
  listeners.push([new Set(names), listener]);
}

// Take in what is new, and tell those who listen, each once.
export function take(news) {
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
