// The clock of a sitting: it runs while somebody practises, and says when a break is due.

const BREAK_AFTER = 20;
const AWAY = 5;

// Minutes in, minutes out; `now` in milliseconds.
export class Sitting {
  constructor() {
    this.minutes = 0;
    this.last = null;
    this.told = false;
  }

  // Somebody did something. After a while away a new sitting begins.
  touch(now) {
    if (this.last !== null) {
      const away = (now - this.last) / 60000;
      if (away < AWAY) this.minutes += away;
      else [this.minutes, this.told] = [0, false];
    }
    this.last = now;
  }

  // Whether to speak of a break now: once a sitting.
  isDue() {
    if (this.told || this.minutes < BREAK_AFTER) return false;
    this.told = true;
    return true;
  }
}
