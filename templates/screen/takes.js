// A drill once at a mark: what is heard when, in seconds from where it is counted in.

// Under this mark of the metronome a soft click stands between the beats.
const SLOW = 50;

export function take(heard, mark) {
  const quarter = 60 / (mark * heard.unit);
  const at = (time) => (time + heard.countIn) * quarter;
  return {
    seconds: at(heard.end),
    beat: heard.unit * quarter,
    clicks: clicks(heard, mark, at),
    notes: heard.notes.map(([start, length, key, hand, loudness, heads]) => ({
      at: at(start),
      seconds: length * quarter,
      key,
      hand: hand ? "left" : "right",
      loudness,
      heads,
    })),
  };
}

// `heard.beats` has a letter a beat: B for the bar's first, b for the others.
function clicks(heard, mark, at) {
  const found = [];
  for (let index = 0; index < heard.beats.length; index += 1) {
    const time = index * heard.unit - heard.countIn;
    found.push({ at: at(time), kind: heard.beats[index] === "B" ? "bar" : "beat", index });
    if (mark < SLOW) found.push({ at: at(time + heard.unit / 2), kind: "between", index });
  }
  return found;
}

// What happens in a take, in order.
export function happenings(played) {
  return [
    ...played.clicks.map((click) => ({ at: click.at, click })),
    ...played.notes.map((note) => ({ at: note.at, note })),
  ].sort((a, b) => a.at - b.at);
}
