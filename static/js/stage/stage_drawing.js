// Drawings that the page brought along, or that the worker has made since: one SVG a key.

const AGAIN = 2000; // milliseconds until one that is not made yet is asked for again

export class Drawings {
  /** @type {Map<string, Promise<void>>} */
  #asked = new Map();

  /** @param {() => void} changed what to do once one has come */
  constructor(changed) {
    this.changed = changed;
  }

  /**
   * A copy of the drawing, or null where it is not there; it is asked for then.
   *
   * @param {string} key
   * @returns {SVGSVGElement | null}
   */
  get(key) {
    const place = document.querySelector(`template[data-stage-drawing="${key}"]`);
    if (!(place instanceof HTMLTemplateElement)) return null;
    const drawn = place.content.querySelector("svg");
    if (drawn) return /** @type {SVGSVGElement} */ (document.importNode(drawn, true));
    if (!this.#asked.has(key)) this.#asked.set(key, this.#ask(place));
    return null;
  }

  /** @param {HTMLTemplateElement} place */
  async #ask(place) {
    const answer = await fetch(place.dataset.src ?? "").catch(() => null);
    if (answer?.status === 200) {
      place.innerHTML = await answer.text();
      this.changed();
    } else if (!answer || answer.status < 400) {
      setTimeout(() => this.#ask(place), AGAIN);
    }
  }
}

/**
 * How wide a drawing is, and where its rows begin and the last one ends, in its units.
 *
 * @param {SVGSVGElement} drawing
 * @returns {import("./notation_fit.js").Measures}
 */
export function measuresOf(drawing) {
  const { y, width, height } = drawing.viewBox.baseVal;
  const edges = drawing.dataset.rows?.split(" ").map(Number) ?? [y, y + height];
  return { width, edges };
}

/**
 * Show the rows of a drawing from `first` on, so many, at a scale in px a unit.
 *
 * @param {SVGSVGElement} drawing
 * @param {import("./notation_fit.js").Measures} measures
 * @param {{first: number, rows: number, scale: number}} how
 */
export function showRows(drawing, { width, edges }, { first, rows, scale }) {
  const { x } = drawing.viewBox.baseVal;
  const [top, bottom] = [edges[first], edges[first + rows]];
  drawing.setAttribute("viewBox", `${x} ${top} ${width} ${bottom - top}`);
  drawing.setAttribute("width", String(width * scale));
  drawing.setAttribute("height", String((bottom - top) * scale));
}
