// Lights the notes that sound, and moves the metronome's sign: the same moments as are heard.

// Which note heads of a take are lit at `time`, in seconds from where it is counted in.
function lit(played, time) {
  const heads = new Set();
  for (const note of played.notes) {
    if (note.at > time) break;
    if (time < note.at + note.seconds) for (const head of note.heads) heads.add(head);
  }
  return heads;
}

// Where the sign is: 0 at one side, 1 at the other, a side a beat; and which click it is at.
function swing(played, time) {
  const beats = time / played.beat;
  const index = Math.max(0, Math.floor(beats + 1e-9));
  const part = Math.min(1, Math.max(0, beats - index));
  const way = 0.5 - 0.5 * Math.cos(Math.PI * part);
  return { index, place: index % 2 ? 1 - way : way };
}

export class Lights {
  // `shown`: the elements over the note heads, by the number of the head.
  constructor(player, sign) {
    this.player = player;
    this.sign = sign;
    this.shown = new Map();
    this.lit = new Set();
    this.frame = 0;
    this.onTurn = () => {};
  }

  run() {
    cancelAnimationFrame(this.frame);
    const step = () => {
      if (!this.player.isPlaying) return this.clear();
      this.show();
      this.frame = requestAnimationFrame(step);
      return undefined;
    };
    step();
  }

  show() {
    const { played, now } = this.player;
    const time = now < 0 ? now : now % played.seconds;
    this.light(lit(played, time));
    const { index, place } = swing(played, time);
    this.sign.move(time < 0 ? 0 : place, played.clicks.find((each) => each.index === index)?.kind);
  }

  light(heads) {
    for (const head of this.lit) if (!heads.has(head)) this.shown.get(head)?.classList.remove("lit");
    let turn = null;
    for (const head of heads) {
      if (this.lit.has(head)) continue;
      const element = this.shown.get(head);
      element?.classList.add("lit");
      turn ??= element;
    }
    this.lit = heads;
    if (turn) this.onTurn(turn);
  }

  clear() {
    this.light(new Set());
    this.sign.rest();
  }
}
