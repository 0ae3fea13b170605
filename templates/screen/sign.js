// The metronome's sign: a bead that goes from side to side, a side a beat, and grows on the bar.

export class Sign {
  constructor(element) {
    this.element = element;
    this.bead = element.firstElementChild;
    this.still = matchMedia("(prefers-reduced-motion: reduce)");
  }

  move(place, kind) {
    const side = this.still.matches ? Math.round(place) : place;
    this.bead.style.left = `${4 + 92 * side}%`;
    this.bead.dataset.kind = kind ?? "";
  }

  rest() {
    this.move(0, "");
  }
}
