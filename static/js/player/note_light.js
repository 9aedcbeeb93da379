// The note being played, lit in its engraving: all that is struck at once.

export class Light {
  /** @type {Element[]} */
  #lit = [];

  /** @param {Element | null} figure holds one engraving, or will: it may still be on its way */
  constructor(figure) {
    this.figure = figure;
  }

  /** @param {number | null} note the index of the fill's stroke */
  on(note) {
    const parts = ["", "-feet"].map((part) => `g.stroke[id$="-s${note}${part}"]`);
    const strokes = [...(this.figure?.querySelectorAll(parts.join()) ?? [])];
    if (strokes.length > 0 && strokes[0] === this.#lit[0]) return;
    this.off();
    for (const stroke of strokes) stroke.classList.add("lit");
    this.#lit = strokes;
  }

  off() {
    for (const stroke of this.#lit) stroke.classList.remove("lit");
    this.#lit = [];
  }
}
