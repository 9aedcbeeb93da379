// The note being played, lit in its engraving.

export class Light {
  /** @type {Element | null} */
  #lit = null;

  /** @param {Element | null} figure holds one engraving, or will: it may still be on its way */
  constructor(figure) {
    this.figure = figure;
  }

  /** @param {number | null} note the index of the fill's stroke */
  on(note) {
    const stroke = this.figure?.querySelector(`g.stroke[id$="-s${note}"]`) ?? null;
    if (stroke === this.#lit) return;
    this.off();
    stroke?.classList.add("lit");
    this.#lit = stroke;
  }

  off() {
    this.#lit?.classList.remove("lit");
    this.#lit = null;
  }
}
