// A drill's music in the size that fits the screen: its systems by page, and lights over its notes.

import { divided } from "./stops.js";

const GAP = 10;

// A drill that does not fill the width may be so much larger.
const LARGER = 1.3;

// The size of `sizes` (by name, widths rising) that the music is shown in on a screen so wide.
export function sizeFor(sizes, width) {
  return sizes.findLast((size) => width >= size.from) ?? sizes[0];
}

export class Music {
  // `holder` holds the figures of the page as it came, in the size `given`.
  constructor(holder, drill, given) {
    this.holder = holder;
    this.drill = drill;
    this.size = given;
    this.figures = [...holder.querySelectorAll("figure")];
    this.label = this.figures[0].firstElementChild.getAttribute("aria-label");
    this.made = new Map([[given, this.figures]]);
    this.pages = [];
    this.page = 0;
  }

  // Set it in `size`, in a room so wide and high.
  fit(size, width, height) {
    if (size.name !== this.size) this.replace(size.name);
    const systems = this.drill.systems[size.name];
    const widest = Math.max(...systems.map(([wide]) => wide));
    const scale = Math.min((width / size.width) * LARGER, width / widest);
    const heights = this.figures.map((figure, index) => {
      const [wide, high] = systems[index];
      const shrunk = Math.min(scale, (height - GAP) / high);
      figure.style.width = `${wide * shrunk}px`;
      return high * shrunk + GAP;
    });
    this.pages = divided(heights, height);
    this.turn(Math.min(this.page, this.pages.length - 1));
  }

  replace(name) {
    if (!this.made.has(name)) {
      const figures = this.drill.pictures[name].map((svg) => {
        const figure = document.createElement("figure");
        figure.innerHTML = svg;
        return figure;
      });
      figures[0].firstElementChild.setAttribute("aria-label", this.label);
      this.made.set(name, figures);
    }
    this.figures = this.made.get(name);
    this.holder.replaceChildren(...this.figures);
    this.size = name;
  }

  turn(page) {
    this.page = page;
    const shown = new Set(this.pages[page]);
    this.figures.forEach((figure, index) => {
      figure.hidden = !shown.has(index);
    });
  }

  // An element over every note head, by its number.
  lights() {
    for (const old of this.holder.querySelectorAll(".light")) old.remove();
    const shown = new Map();
    this.drill.places[this.size].forEach(([system, left, top, right, bottom], head) => {
      const [wide, high] = this.drill.systems[this.size][system];
      const light = document.createElement("span");
      light.className = "light";
      light.dataset.head = head;
      light.style.left = `${(100 * left) / wide}%`;
      light.style.top = `${(100 * top) / high}%`;
      light.style.width = `${(100 * (right - left)) / wide}%`;
      light.style.height = `${(100 * (bottom - top)) / high}%`;
      this.figures[system].append(light);
      shown.set(head, light);
    });
    return shown;
  }

  // Turn to the page on which an element stands.
  follow(element) {
    const system = this.figures.indexOf(element.closest("figure"));
    const page = this.pages.findIndex((each) => each.includes(system));
    if (page >= 0 && page !== this.page) this.turn(page);
  }
}
