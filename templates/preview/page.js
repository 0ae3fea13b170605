// The page listens, and shows what it hears: passages that changed, or what is wrong.
// Words from the marks file arrive as text and are set as text; HTML is the booklet's own.

const booklet = document.getElementById("booklet");
const mistakes = document.getElementById("mistakes");
const status = document.getElementById("status");
const sheet = new CSSStyleSheet();
document.adoptedStyleSheets = [sheet];

const source = new EventSource("events");
source.onmessage = (event) => show(JSON.parse(event.data));
let waiting = "…"; // what is said in its language comes with the first news
source.onerror = () => tell(waiting);

function show(news) {
  if (news.title !== undefined) document.title = news.title;
  if (news.css !== undefined) sheet.replaceSync(news.css);
  document.documentElement.lang = news.language;
  waiting = news.waiting;
  const isWrong = news.mistakes.length > 0;
  mistakes.hidden = !isWrong;
  booklet.hidden = isWrong;
  if (isWrong) {
    mistakes.replaceChildren(element("h1", news.heading), ...news.mistakes.map(mistake));
    window.scrollTo(0, 0);
  } else {
    reveal(arrange(news.passages));
  }
  tellOfPdf(news.pdf);
  document.documentElement.dataset.version = news.version;
}

// Put the passages in order, those that come without HTML as they stand; returns what changed.
function arrange(passages) {
  const standing = new Map([...booklet.children].map((each) => [each.dataset.id, each]));
  const isFirst = standing.size === 0;
  const changed = [];
  const wanted = passages.map(({ id, html }) => {
    const before = standing.get(id);
    if (html === null) return before;
    const after = document.createElement("div");
    after.dataset.id = id;
    after.innerHTML = html;
    if (!isFirst) changed.push(...differing(before, after));
    return after;
  });
  booklet.replaceChildren(...wanted);
  return changed;
}

// The drills of a passage that are not as they were; the passage itself if only its words differ.
function differing(before, after) {
  const known = new Set([...(before?.querySelectorAll("article") ?? [])].map((each) => each.innerHTML));
  const drills = [...after.querySelectorAll("article")].filter((each) => !known.has(each.innerHTML));
  return drills.length > 0 ? drills : [after.firstElementChild ?? after];
}

function reveal(changed) {
  if (changed.length === 0) return;
  for (const each of booklet.querySelectorAll(".changed")) each.classList.remove("changed");
  for (const each of changed) each.classList.add("changed");
  changed[0].scrollIntoView({ block: "start" });
}

function mistake({ place, message, hint, lines }) {
  const section = element("section");
  section.append(element("p", place, "place"), element("p", message));
  if (hint) section.append(element("p", hint, "hint"));
  if (lines.length > 0) {
    const pre = element("pre");
    for (const { number, text, here } of lines) {
      pre.append(element(here ? "b" : "span", `${String(number).padStart(5)}  ${text}\n`));
    }
    section.append(pre);
  }
  return section;
}

function tellOfPdf(pdf) {
  if (pdf.file === null) return tell(pdf.said);
  const link = element("a", pdf.file);
  link.href = `pdf/${encodeURIComponent(pdf.file)}`;
  link.target = "_blank";
  status.replaceChildren(link, ` ${pdf.said}`);
}

function tell(text) {
  status.replaceChildren(text);
}

function element(name, text = "", className = "") {
  const made = document.createElement(name);
  made.textContent = text;
  if (className) made.className = className;
  return made;
}
