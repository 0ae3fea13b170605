// The words of the page, in the language of the marks.

let words = {};

export async function fetchWords() {
  words = await (await fetch("words.json")).json();
  document.documentElement.lang = words.language;
}

// The text at `key` ("card.hand"), its values set in.
export function t(key, values = {}) {
  const [table, name] = key.split(".");
  const text = words[table]?.[name] ?? key;
  return text.replace(/\{(\w+)\}/g, (_, each) => values[each] ?? "");
}

export function families() {
  return words.family ?? {};
}
