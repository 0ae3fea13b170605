// The rule of the boxes: three times clean running, and the box is ticked and the next one is up;
// twice not yet at a box, and it is one back. Values in, values out; knows no page.

export const CLEAN = 3;
const MISSED = 2;

// Where a drill stands: the box (an index into its ladder), clean times running, misses at this box.
export function begin(marks, reached) {
  const at = marks.findIndex((mark) => mark > (reached ?? 0));
  return { at: at < 0 ? marks.length - 1 : at, clean: 0, missed: 0 };
}

// The state after a playing that was clean or not, and what came of it: `ticked` or `back`.
export function judged(state, isClean, last) {
  if (isClean) {
    const clean = state.clean + 1;
    if (clean < CLEAN) return { ...state, clean, came: "" };
    return { at: Math.min(state.at + 1, last), clean: 0, missed: 0, came: "ticked" };
  }
  const missed = state.missed + 1;
  if (missed < MISSED) return { ...state, clean: 0, missed, came: "" };
  return { at: Math.max(state.at - 1, 0), clean: 0, missed: 0, came: "back" };
}

// Another box, chosen by hand: it begins anew.
export function moved(state, at) {
  return at === state.at ? state : { at, clean: 0, missed: 0 };
}
