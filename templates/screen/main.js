// The page as it opens: its parts made, and joined.

import { Controls, letGo } from "./controls.js";
import { keepAwake, letSleep } from "./awake.js";
import { showFront } from "./front.js";
import { Lights } from "./lights.js";
import { Music, sizeFor } from "./music.js";
import { Instrument, Player, deviceOfSound, wakeDevice } from "./player.js";
import { Practice } from "./practice.js";
import { Record } from "./record.js";
import { Sign } from "./sign.js";
import { Sitting } from "./sitting.js";
import { listen } from "./stops.js";
import { Store } from "./store.js";
import { take } from "./takes.js";

const data = JSON.parse(document.getElementById("data").textContent);
const sections = [...document.querySelectorAll("main > section")];
const store = new Store(data.keys);
const practice = new Practice(data, store);
const sitting = new Sitting();
const find = (id) => document.getElementById(id);
const area = document.querySelector("main");

let player = null;
let lights = null;
let at = 0;
let begun = 0; // when the last playing began, in milliseconds; 0 for none since the drill is shown
const music = new Map();

function tell(text) {
  find("told").textContent = text;
}

const controls = new Controls(find("controls"), data.says, { play, judge, choose, set });
const record = new Record(find("record"), data, store, tell);
const sign = new Sign(find("sign"));

function drillAt(index) {
  const number = sections[index].dataset.drill;
  return number === undefined ? null : data.drills[Number(number)];
}

// Sound begins at the first press, as browsers ask, and comes back after an interruption.
async function wake() {
  if (!player) {
    player = new Player(new Instrument(deviceOfSound()));
    lights = new Lights(player, sign);
    lights.onTurn = (element) => music.get(at)?.follow(element);
    for (const name of ["right", "left", "clicks"]) set(name, controls.isOn(name));
  }
  await wakeDevice(player.instrument.device);
}

async function play() {
  if (player?.isPlaying) {
    stop();
    return;
  }
  const drill = drillAt(at);
  try {
    await wake();
  } catch {
    tell(data.says.noSound);
    return;
  }
  touch();
  if (!drill || drillAt(at) !== drill) return;
  lights.shown = music.get(at).lights();
  music.get(at).turn(0);
  const once = take(drill.heard, drill.ladder.marks[practice.state(drill).at]);
  player.start(once, controls.isOn("again") ? Infinity : 1, ended);
  begun = performance.now();
  controls.playing(true);
  lights.run();
}

function ended() {
  controls.playing(false);
  touch();
  find("controls").classList.add("asking");
}

function stop() {
  player?.stop();
  controls.playing(false);
}

function judge(isClean) {
  const drill = drillAt(at);
  stop();
  touch();
  const seconds = begun ? Math.min(600, (performance.now() - begun) / 1000) : 0;
  begun = 0;
  const before = practice.state(drill);
  const came = practice.judge(drill, isClean, seconds);
  const state = practice.state(drill);
  find("controls").classList.remove("asking");
  const mark = drill.ladder.marks[came === "back" ? state.at : before.at];
  music.get(at).turn(0); // where Play begins
  const said = came || (isClean ? "again" : "once");
  tell(data.says.came[said].replace("{mark}", mark).replace("{count}", state.clean));
  show();
}

function choose(box) {
  const drill = drillAt(at);
  stop();
  practice.choose(drill, box);
  show();
}

function set(name, isOn) {
  if (name === "sign") find("sign").hidden = !isOn;
  else if (name !== "again") player?.instrument.let(name, isOn);
}

function touch() {
  sitting.touch(Date.now());
  find("clock").textContent = data.says.minutes.replace("{count}", Math.floor(sitting.minutes));
  if (sitting.isDue()) find("pause").showModal();
}

// The section at `at`, as it is now.
function show() {
  sections.forEach((section, index) => {
    section.hidden = index !== at;
  });
  const drill = drillAt(at);
  find("controls").hidden = !drill;
  document.body.classList.toggle("drilling", Boolean(drill));
  if (sections[at].id === "record") {
    practice.closeAll();
    record.show();
  }
  if (sections[at].id === "front") showFront(sections[at], data.says, store, practice, drillAt);
  if (drill) {
    controls.show(drill, practice.state(drill), practice.ticked(drill));
    fit();
    keepAwake();
  } else {
    letSleep();
  }
  find("place").textContent = `${at + 1} / ${sections.length}`;
}

function fit() {
  const drill = drillAt(at);
  if (!drill) return;
  const holder = sections[at].querySelector(".music");
  if (!music.has(at)) music.set(at, new Music(holder, drill, data.given));
  const { clientWidth, clientHeight } = holder;
  const size = sizeFor(data.sizes, document.documentElement.clientWidth);
  const wasPlaying = player?.isPlaying;
  music.get(at).fit(size, clientWidth, clientHeight);
  if (wasPlaying) lights.shown = music.get(at).lights();
}

function go(index) {
  if (index < 0 || index >= sections.length) return;
  stop();
  tell("");
  find("controls").classList.remove("asking");
  begun = 0;
  at = index;
  const shown = music.get(at);
  if (shown) shown.page = 0;
  show();
  sections[at].querySelector("h1, h2").focus({ preventScroll: true });
}

function turn(way) {
  const here = music.get(at);
  if (here && drillAt(at)) {
    const page = here.page + way;
    if (page >= 0 && page < here.pages.length) {
      here.turn(page);
      return;
    }
  }
  go(at + way);
}

// Show the words about a drill over its music, or take them away.
function read(isOpen) {
  document.body.classList.toggle("reading", isOpen);
  find("words").setAttribute("aria-expanded", isOpen);
}

// What the keys scroll before they turn: a page of words, and words over the music.
function scroller() {
  if (!drillAt(at)) return sections[at];
  return document.body.classList.contains("reading") ? sections[at].querySelector(".said") : null;
}

function open() {
  document.documentElement.classList.replace("plain", "live");
  for (const button of document.querySelectorAll("[data-go]")) {
    button.addEventListener("click", () => go(Number(button.dataset.go)));
  }
  for (const [name, way] of [["before", -1], ["after", 1]]) {
    find(name).addEventListener("click", (event) => {
      turn(way);
      letGo(event, find(name));
    });
  }
  find("contents").addEventListener("click", () => go(0));
  find("words").addEventListener("click", (event) => {
    read(!document.body.classList.contains("reading"));
    letGo(event, find("words"));
  });
  document.addEventListener("keydown", (event) => event.key === "Escape" && read(false));
  find("rested").addEventListener("click", () => find("pause").close());
  listen(area, turn, scroller);
  addEventListener("resize", fit);
  addEventListener("beforeunload", (event) => {
    if (!store.isKept && store.unsaved) event.preventDefault();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "hidden") stop();
  });
  record.onLoad = show;
  setInterval(() => player?.isPlaying && touch(), 30000);
  show();
}

open();
