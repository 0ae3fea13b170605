// The drills of the open passage, or of all, as the booklet prints them; in a shadow tree, so that
// the booklet's style and the desk's do not meet.

import { listen, parts, passage } from "./store.js";
import { element } from "./elements.js";
import { t } from "./words.js";

// What the desk has otherwise than paper.
const OURS = `
  :host, article, section { color: #000; }
  h1 { font-size: 1.5em !important; }
  span[role=img], svg { display: block; max-width: 100%; height: auto; overflow: visible; }
  section.passage { margin-bottom: 14mm; }
  .pair, .pair > * { display: block !important; width: auto !important; padding-left: 0 !important; }
  .return { display: none; }
`;

const box = document.getElementById("drills");
const note = element("p", { class: "hint", role: "status" });
const sheet = new CSSStyleSheet();
const pages = element("div");
let css = "";

export function showDrills() {
  const root = pages.attachShadow({ mode: "open" });
  root.adoptedStyleSheets = [sheet];
  box.setAttribute("aria-label", t("page.drills"));
  box.append(note, pages);
  listen(["drills", "css", "passage", "passages", "mistakes", "isWorking"], show);
}

function show() {
  if (parts.css !== undefined && parts.css !== css) {
    css = parts.css;
    sheet.replaceSync(css + OURS);
  }
  const open = passage();
  const wanted = open ? [open.id] : (parts.drills ?? []);
  const root = pages.shadowRoot;
  const standing = new Map([...root.children].map((each) => [each.dataset.id, each]));
  const children = wanted.filter((id) => id && parts[`drills ${id}`]).map((id) => {
    const html = parts[`drills ${id}`];
    const before = standing.get(id);
    if (before?.html === html) return before;
    const made = element("div");
    made.dataset.id = id;
    made.innerHTML = html; // our own pages, escaped where they were made
    made.html = html;
    return made;
  });
  root.replaceChildren(...children);
  const isOld = (parts.mistakes ?? []).length > 0;
  pages.classList.toggle("old", isOld && children.length > 0);
  note.textContent = said(isOld, children.length > 0);
}

function said(isOld, areShown) {
  if (isOld) return t(areShown ? "page.old-drills" : "page.waiting");
  if (areShown) return "";
  return t(parts.passages?.length && parts.isWorking ? "page.working" : "page.no-drills");
}
