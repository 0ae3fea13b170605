// Elements made in one line. Text is set as text, never as markup.

export function element(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value === null || value === undefined) continue;
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (typeof value === "boolean") made.toggleAttribute(key, value);
    else made.setAttribute(key, value);
  }
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}

export function button(text, onclick, attributes = {}) {
  return element("button", { type: "button", onclick, ...attributes }, text);
}

let speaker;

// Say something to whoever listens with a screen reader.
export function speak(text) {
  speaker ??= document.getElementById("voice");
  speaker.textContent = text;
}
