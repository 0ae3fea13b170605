// The strip below the music: ladder, play, hands, clicks, and the two verdicts.

import { CLEAN } from "./pace.js";

const SWITCHES = ["right", "left", "clicks", "sign", "again"];

export class Controls {
  // `does`: what a press does: play(), judge(isClean), choose(box), set(name, isOn).
  constructor(root, says, does) {
    this.root = root;
    this.says = says;
    this.does = does;
    this.part = (name) => root.querySelector(`[data-part="${name}"]`);
    this.press("play", () => does.play());
    this.press("clean", () => does.judge(true));
    this.press("missed", () => does.judge(false));
    for (const name of SWITCHES) {
      const button = this.part(name);
      button.addEventListener("click", (event) => {
        const isOn = button.getAttribute("aria-pressed") !== "true";
        button.setAttribute("aria-pressed", isOn);
        does.set(name, isOn);
        letGo(event, button);
      });
    }
  }

  press(name, work) {
    const button = this.part(name);
    button.addEventListener("click", (event) => {
      work();
      letGo(event, button);
    });
  }

  isOn(name) {
    return this.part(name).getAttribute("aria-pressed") === "true";
  }

  // The ladder of a drill: a button a mark; ticked ones, and the one that is up.
  show(drill, state, ticked) {
    const ladder = this.part("ladder");
    ladder.setAttribute("aria-label", drill.ladder.name);
    const sign = document.createElement("span");
    sign.className = "unit";
    sign.innerHTML = drill.ladder.sign;
    const boxes = drill.ladder.marks.map((mark, box) => {
      const button = document.createElement("button");
      const isTicked = mark <= ticked;
      button.type = "button";
      button.textContent = mark;
      button.classList.toggle("ticked", isTicked);
      if (box === state.at) button.setAttribute("aria-current", "step");
      const parts = [`${mark}`];
      if (isTicked) parts.push(this.says.ticked);
      if (box === state.at) parts.push(this.says.up);
      button.setAttribute("aria-label", parts.join(", "));
      button.addEventListener("click", (event) => {
        this.does.choose(box);
        letGo(event, button);
        if (!event.detail) this.part("ladder").querySelectorAll("button")[box].focus();
      });
      return button;
    });
    ladder.replaceChildren(sign, ...boxes);
    ladder.querySelector("[aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
    this.part("count").textContent = "●".repeat(state.clean) + "○".repeat(CLEAN - state.clean);
    for (const hand of ["right", "left"]) this.part(hand).hidden = drill.hand !== "both" && drill.hand !== hand;
  }

  playing(isPlaying) {
    const button = this.part("play");
    button.textContent = isPlaying ? this.says.stop : this.says.play;
    this.root.classList.toggle("playing", isPlaying);
  }
}

// What a finger or a pen pressed does not keep the keys, so that a pedal's space bar turns the page.
export function letGo(event, button) {
  if (event.detail) button.blur();
}
