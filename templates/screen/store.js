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

  read() {
    const text = this.storage?.getItem(this.name);
    if (!text) return;
    try {
      const kept = JSON.parse(text);
      const entries = kept.entries ?? [];
      this.entries = union(this.entries, entries.filter(isEntry));
      if (!entries.every(isEntry)) this.storage.setItem(`${this.name} unread`, text);
      this.states = { ...kept.states, ...this.states };
    } catch {
      this.storage.setItem(`${this.name} unread`, text);
    }
  }

  add(entries) {
    this.entries = union(this.entries, entries);
    this.unsaved = true;
    this.save();
  }

  put(drill, state) {
    this.states[drill] = state;
    this.save();
  }

  // What another window of this page has kept meanwhile stays.
  save() {
    if (!this.storage) return;
    this.read();
    const text = JSON.stringify({ entries: this.entries, states: this.states });
    try {
      this.storage.setItem(this.name, text);
    } catch {
      this.storage = null;
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
