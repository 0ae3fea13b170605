// The pages one after the other, and what turns them: a tap, a swipe, keys, pedals that send keys.

const FORWARD = new Set([" ", "PageDown", "ArrowRight", "ArrowDown"]);
const BACKWARD = new Set(["PageUp", "ArrowLeft", "ArrowUp"]);
const SWIPE = 40;

// Systems by page: as many as fit into `room`, at least one. `heights` of all, in order.
export function divided(heights, room) {
  const pages = [];
  let used = Infinity;
  heights.forEach((height, index) => {
    if (used + height > room) {
      pages.push([]);
      used = 0;
    }
    pages.at(-1).push(index);
    used += height;
  });
  return pages;
}

// Which way a key turns: 1, -1, or 0. A space bar on a button presses the button.
function wayOf(event) {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return 0;
  const on = event.target.closest?.("input, textarea, select, [contenteditable]");
  if (on && on.type !== "checkbox") return 0;
  if (event.key === " " && event.target.closest?.("button, input")) return 0;
  if (FORWARD.has(event.key)) return event.shiftKey && event.key === " " ? -1 : 1;
  return BACKWARD.has(event.key) ? -1 : 0;
}

// Scroll on by most of what is seen of `box`; returns whether there was anything left to see.
function scrolled(box, way) {
  const before = box.scrollTop;
  box.scrollBy(0, way * 0.85 * box.clientHeight);
  return box.scrollTop !== before;
}

// `turn(way)` is called for each; `area` is where taps and swipes turn. Keys go to the end of what
// `scroller()` holds before they turn, and turn nothing behind a dialog.
export function listen(area, turn, scroller) {
  document.addEventListener("keydown", (event) => {
    const way = wayOf(event);
    if (!way || document.querySelector("dialog[open]")) return;
    event.preventDefault();
    const box = scroller();
    if (box && scrolled(box, way)) return;
    if (!event.repeat) turn(way);
  });
  let from = null;
  area.addEventListener("pointerdown", (event) => {
    from = event.isPrimary && event.button === 0 ? { x: event.clientX, y: event.clientY } : null;
  });
  area.addEventListener("pointercancel", () => {
    from = null;
  });
  area.addEventListener("pointerup", (event) => {
    if (!from || event.target.closest("button, a, input, label, textarea, dialog, .said")) return;
    const [dx, dy] = [event.clientX - from.x, event.clientY - from.y];
    from = null;
    if (Math.abs(dx) > SWIPE && Math.abs(dx) > Math.abs(dy)) turn(dx < 0 ? 1 : -1);
    else if (Math.abs(dx) < 12 && Math.abs(dy) < 12) {
      const box = area.getBoundingClientRect();
      turn(event.clientX > box.left + box.width / 3 ? 1 : -1);
    }
  });
}
