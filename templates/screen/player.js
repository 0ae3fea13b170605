// Plays a take, again and again if asked, on the clock of the audio device: everything is handed to
// it ahead of its time, so that nothing depends on how busy the page is. Each moment is reckoned
// from the first, never from the one before, so that nothing drifts.

import { RATE, click, string } from "./tone.js";
import { happenings } from "./takes.js";

const AHEAD = 1.5;
const LEAD = 0.15;
const EVERY = 40;
const PATIENCE = 1500; // milliseconds in which sound has to begin

// A new device of this browser; throws where there is none.
export function deviceOfSound() {
  return new (window.AudioContext ?? window.webkitAudioContext)();
}

// Have `device` sound, after an interruption too; throws where it does not.
export async function wakeDevice(device) {
  if (device.state === "running") return;
  // A browser that gives no sound may never answer.
  await Promise.race([device.resume(), new Promise((go) => setTimeout(go, PATIENCE))]);
  if (device.state !== "running") throw new Error("no sound");
}

// What sounds on one device: levels that can be turned while it plays, and what they are fed.
export class Instrument {
  constructor(device) {
    this.device = device;
    this.strings = new Map();
    this.taps = new Map();
    this.full = { right: 0.34, left: 0.34, clicks: 0.6 };
    this.levels = {};
    for (const [name, level] of Object.entries(this.full)) {
      const gain = device.createGain();
      gain.gain.value = level;
      gain.connect(device.destination);
      this.levels[name] = gain;
    }
  }

  // Let `name` be heard or not, from now on.
  let(name, isHeard) {
    const level = isHeard ? this.full[name] : 0;
    this.levels[name].gain.setTargetAtTime(level, this.device.currentTime, 0.01);
  }

  // The strings of a take made ready, so that no first note waits for its own.
  ready(played) {
    for (const note of played.notes) this.string(note.key);
  }

  string(key) {
    if (!this.strings.has(key)) this.strings.set(key, this.buffer(string(key, RATE), RATE));
    return this.strings.get(key);
  }

  tap(kind) {
    const rate = this.device.sampleRate;
    if (!this.taps.has(kind)) this.taps.set(kind, this.buffer(click(kind, rate), rate));
    return this.taps.get(kind);
  }

  buffer(samples, rate) {
    const buffer = this.device.createBuffer(1, samples.length, rate);
    buffer.copyToChannel(samples, 0);
    return buffer;
  }

  click(kind, at) {
    return this.start(this.tap(kind), at, this.levels.clicks);
  }

  // A key struck at `at` and let go `seconds` later; louder is brighter.
  note(note, at) {
    const { device } = this;
    const weight = (note.loudness / 127) ** 1.5;
    const tone = device.createBiquadFilter();
    tone.type = "lowpass";
    tone.frequency.value = Math.min(9000, 900 + 60 * note.loudness + 2 ** ((note.key - 21) / 12) * 55);
    const damper = device.createGain();
    damper.gain.setValueAtTime(weight, at);
    damper.gain.setTargetAtTime(0, at + note.seconds, 0.06);
    tone.connect(damper);
    damper.connect(this.levels[note.hand]);
    const source = this.start(this.string(note.key), at, tone);
    source.stop(at + note.seconds + 0.5);
    return source;
  }

  start(buffer, at, into) {
    const source = this.device.createBufferSource();
    source.buffer = buffer;
    source.connect(into);
    source.start(at);
    return source;
  }
}

export class Player {
  // `later(work, milliseconds)` returns what `never` takes.
  constructor(instrument, later = setTimeout, never = clearTimeout) {
    this.instrument = instrument;
    this.later = (work, wait) => later(work, wait);
    this.never = (timer) => never(timer);
    this.late = 0;
    this.stop();
  }

  get isPlaying() {
    return this.played !== null;
  }

  // Begin a take; `rounds` times (Infinity: until it is stopped). `ended` is called after the last.
  start(played, rounds, ended) {
    this.stop();
    this.instrument.ready(played);
    this.played = played;
    this.order = happenings(played);
    this.rounds = rounds;
    this.ended = ended;
    this.zero = this.instrument.device.currentTime + LEAD;
    this.go();
  }

  stop() {
    this.never(this.timer);
    for (const source of this.sources ?? []) source.stop();
    this.sources = new Set();
    this.played = null;
    this.round = 0;
    this.next = 0;
  }

  // Seconds since the first take was counted in, as it is heard now.
  get now() {
    const { device } = this.instrument;
    return device.currentTime - (device.outputLatency || 0) - this.zero;
  }

  // When something of round `round` comes, in seconds on the device's clock.
  moment(round, at) {
    return this.zero + round * this.played.seconds + at;
  }

  go() {
    const { device } = this.instrument;
    const horizon = device.currentTime + AHEAD;
    while (this.round < this.rounds) {
      const each = this.order[this.next];
      const at = this.moment(this.round, each.at);
      if (at >= horizon) break;
      if (at < device.currentTime) this.late += 1;
      else this.keep(this.sound(each, at));
      this.next += 1;
      if (this.next === this.order.length) [this.round, this.next] = [this.round + 1, 0];
    }
    if (this.round >= this.rounds && this.now > this.rounds * this.played.seconds) {
      const { ended } = this;
      this.stop();
      ended();
      return;
    }
    this.timer = this.later(() => this.go(), EVERY);
  }

  sound({ click, note }, at) {
    return click ? this.instrument.click(click.kind, at) : this.instrument.note(note, at);
  }

  keep(source) {
    this.sources.add(source);
    source.onended = () => this.sources.delete(source);
  }
}
