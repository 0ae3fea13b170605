// What is kept on the device. Storage is tried at opening; where it fails, the sitting is held in
// memory. It is kept by piece and student, so that next week's file finds it.

import { isEntry } from "./entries.js";
import { union } from "./log.js";

export class Store {
  constructor(keys, storage = ownStorage()) {
    this.name = `engrave ${keys.piece} ${keys.student}`;
    this.storage = tried(storage, this.name) ? storage : null;
    this.entries = [];
    this.states = {};
    this.unsaved = false;
    this.read();
  }

  get isKept() {
    return this.storage !== null;
  }

  // Take over what is kept; what is not understood of it is kept beside it.
  read() {
    const text = this.storage?.getItem(this.name);
    if (!text) return;
    try {
      const { entries = [], states } = JSON.parse(text);
      this.entries = union(this.entries, entries.filter(isEntry));
      this.states = { ...this.states, ...states };
      if (entries.every(isEntry)) return;
    } catch {
      // it is no text of ours
    }
    this.write(`${this.name} unread`, text);
  }

  // Entries made here: not yet sent to anybody.
  add(entries) {
    this.unsaved = true;
    this.learn(entries);
  }

  // Entries that came in a log; returns how many are new.
  learn(entries) {
    this.read();
    const before = this.entries.length;
    this.entries = union(this.entries, entries);
    this.save();
    return this.entries.length - before;
  }

  // Where a drill stands; what another window of this page has kept of others stays.
  put(drill, state) {
    this.read();
    this.states[drill] = state;
    this.save();
  }

  save() {
    this.write(this.name, JSON.stringify({ entries: this.entries, states: this.states }));
  }

  write(name, text) {
    try {
      this.storage?.setItem(name, text);
    } catch {
      this.storage = null; // it is full: from here on memory alone
    }
  }
}

function ownStorage() {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}

function tried(storage, name) {
  try {
    const probe = `${name} probe`;
    storage.setItem(probe, "1");
    const works = storage.getItem(probe) === "1";
    storage.removeItem(probe);
    return works;
  } catch {
    return false;
  }
}
