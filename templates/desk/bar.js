// The bar: what lies on the desk, whether it is saved, and what can be done with the whole.

import { listen, parts } from "./store.js";
import { button, element } from "./elements.js";
import { again, isWaiting, letGo, makeBooklet, putAway, redo, undo } from "./talk.js";
import { t } from "./words.js";

const saved = document.getElementById("saved");

export function showBar() {
  const [back, forward] = [button(t("bar.undo"), undo), button(t("bar.redo"), redo)];
  back.setAttribute("aria-keyshortcuts", "Control+Z");
  forward.setAttribute("aria-keyshortcuts", "Control+Shift+Z");
  const booklet = button(t("bar.print"), makeBooklet);
  const link = element("a", { id: "pdf", target: "_blank", hidden: true });
  document.getElementById("tools").append(back, forward, booklet, link, button(t("bar.close"), putAway));
  listen(["score"], () => {
    const piece = parts.score.title || parts.file?.name || "";
    document.getElementById("piece").textContent = piece;
    document.title = t("page.title", { piece });
  });
  listen(["file", "lost", "refused", "closed"], () => {
    back.disabled = !parts.file?.canUndo;
    forward.disabled = !parts.file?.canRedo;
    tellOfFile();
  });
  listen(["pdf"], () => tellOfPdf(link));
}

function tellOfFile() {
  const file = parts.file?.name ?? "";
  const problem = parts.refused?.problem ?? parts.file?.problem;
  saved.className = "";
  if (parts.closed) return tell(t("page.closed", { file }));
  const kept = isWaiting() ? t("page.kept") : "";
  if (parts.lost) return warn(`${t("page.lost", { file })} ${kept}`);
  if (problem) return warn(`${t("bar.not-saved", { reason: problem })} ${parts.refused?.hint ?? ""}`);
  if (kept) return warn(kept);
  if (parts.file) tell(t(parts.file.isThere ? "bar.saved" : "bar.not-yet", { file }));
}

function tell(text) {
  saved.replaceChildren(text);
}

function warn(text) {
  saved.className = "warning";
  const ways = [button(t("page.again"), again), " ", button(t("page.let-go"), letGo)];
  saved.replaceChildren(text, " ", ...(isWaiting() ? ways : []));
}

function tellOfPdf(link) {
  const { file, state, reason } = parts.pdf;
  link.hidden = false;
  link.dataset.state = state;
  if (file === null) link.removeAttribute("href");
  else link.href = `pdf/${encodeURIComponent(file)}`;
  if (state === "failed") link.textContent = t("pdf.failed", { reason });
  else if (state === "made") link.textContent = t("pdf.open", { file });
  else link.textContent = file === null ? t("pdf.making") : `${t("pdf.open", { file })} (${t("pdf.renewing")})`;
}
