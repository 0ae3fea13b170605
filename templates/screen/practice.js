// Where each drill stands, and the entries that its playings leave in the log.

import { targetOf } from "./entries.js";
import { counting, freshId, today } from "./log.js";
import { CLEAN, begin, judged, moved } from "./pace.js";

export class Practice {
  constructor(data, store, now = () => Date.now()) {
    Object.assign(this, { data, store, now });
  }

  // The highest mark that the booklet or the log calls clean; 0 for none.
  ticked(drill) {
    const { marks, reached, beat } = drill.ladder;
    const clean = counting(this.store.entries)
      .filter((each) => targetOf(each) === drill.target && each.beat === beat)
      .filter((each) => Number(each.clean) >= CLEAN)
      .map((each) => Number(each.mark));
    const best = Math.max(reached ?? 0, 0, ...clean);
    return marks.findLast((mark) => mark <= best) ?? 0;
  }

  // The state of a drill: as it was left, unless its ladder is another or the booklet went on.
  state(drill) {
    const fresh = begin(drill.ladder.marks, this.ticked(drill));
    const kept = this.store.states[drill.id];
    if (!kept || kept.marks !== drill.ladder.marks.join(" ") || kept.beat !== drill.ladder.beat) return fresh;
    return (drill.ladder.reached ?? 0) > (kept.reached ?? 0) ? fresh : kept;
  }

  // Keep `state`, and what is not yet in the log of it.
  keep(drill, state, pending) {
    const { marks, beat, reached } = drill.ladder;
    const { at, clean, missed } = state;
    this.store.put(drill.id, { at, clean, missed, marks: marks.join(" "), beat, reached, pending });
  }

  // A playing at the box that is up, and how long it took; returns what came of it.
  judge(drill, isClean, seconds) {
    this.store.read(); // another window may have gone on
    const state = this.state(drill);
    const after = judged(state, isClean, drill.ladder.marks.length - 1);
    const pending = this.added(drill, state, seconds);
    if (!after.came) {
      this.keep(drill, after, { ...pending, best: Math.max(pending.best, after.clean) });
    } else {
      this.keep(drill, after, null);
      const clean = after.came === "ticked" ? CLEAN : pending.best;
      this.store.add([this.entry(drill, drill.ladder.beat, { ...pending, best: clean })]);
    }
    return after.came;
  }

  choose(drill, at) {
    this.store.read();
    const state = this.state(drill);
    if (at === state.at) return;
    this.close(drill);
    this.keep(drill, moved(state, at), null);
  }

  // What is not yet in the log of the box that is up; of another box or day, it goes there first.
  added(drill, state, seconds) {
    const { marks, beat } = drill.ladder;
    const [mark, day] = [marks[state.at], today(new Date(this.now()))];
    const kept = this.store.states[drill.id];
    const isSame = kept?.pending?.mark === mark && kept.pending.day === day && kept.beat === beat;
    if (!isSame) this.close(drill);
    const begun = isSame ? kept.pending : { mark, best: 0, seconds: 0, day };
    return { ...begun, seconds: begun.seconds + seconds };
  }

  // What was tried and led to no box goes into the log as it is.
  close(drill) {
    this.store.read(); // another window may have entered it
    const kept = this.store.states[drill.id];
    if (!kept?.pending) return;
    this.store.add([this.entry(drill, kept.beat, kept.pending)]);
    this.store.put(drill.id, { ...kept, pending: null });
  }

  closeAll() {
    for (const drill of this.data.drills) this.close(drill);
  }

  entry(drill, beat, { mark, best, seconds, day }) {
    const [kind, id] = drill.target.split(" ");
    const { piece, student } = this.data.keys;
    const minutes = Math.min(600, Math.round(seconds / 6) / 10);
    const entry = { id: freshId(), day, piece, student, [kind]: id, mark, beat, clean: best };
    return minutes ? { ...entry, minutes } : entry;
  }
}
