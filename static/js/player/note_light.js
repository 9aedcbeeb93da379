// The note being played, lit in its engraving.

export class Light {
  #lit = null;

  // `figure` holds one engraving, or will: it may still be on its way.
  constructor(figure) {
    this.figure = figure;
  }

  on(note) {
    const stroke = this.figure?.querySelector(`g.stroke[id$="-s${note}"]`);
    if (stroke === this.#lit) return;
    this.off();
    stroke?.classList.add("lit");
    this.#lit = stroke ?? null;
  }

  off() {
    this.#lit?.classList.remove("lit");
    this.#lit = null;
  }
}
