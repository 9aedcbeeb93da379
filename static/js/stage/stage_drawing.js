// Drawings that the page brought along, or that were made since: one SVG a key.
import { every } from "../site/dom.js";

const AGAIN = 2000; // milliseconds until one that is not made yet is asked for again

export class Drawings {
  /** @type {Map<string, Promise<void>>} */
  #asked = new Map();

  /** @param {() => void} changed what to do once one has come, or cannot come */
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

  /**
   * Whether all of them cannot be drawn.
   *
   * @param {string[]} keys
   */
  cannotCome(keys) {
    return keys.every((key) => document.querySelector(`template[data-stage-drawing="${key}"][data-failed]`));
  }

  // What the stage will need, before it is opened. One after the other: a server without a worker
  // draws each as it is asked for, and what is on the stage meanwhile asks for its own.
  async bring() {
    for (const place of every(document, "template[data-stage-drawing][aria-busy]", HTMLTemplateElement)) {
      const key = place.dataset.stageDrawing ?? "";
      if (!this.#asked.has(key)) this.#asked.set(key, this.#ask(place));
      await this.#asked.get(key);
      if (!isSettled(place)) return; // a worker has it: it comes when it comes
    }
  }

  /** @param {HTMLTemplateElement} place */
  async #ask(place) {
    const answer = await fetch(place.dataset.src ?? "").catch(() => null);
    if (answer?.status === 200) place.innerHTML = await answer.text();
    if (answer && isLastWord(answer.status)) place.dataset.failed = "";
    if (isSettled(place)) {
      place.removeAttribute("aria-busy");
      this.changed();
    } else {
      setTimeout(() => this.#ask(place), AGAIN);
    }
  }
}

/** Whether it never comes: a server that has too much to do answers otherwise later. @param {number} status */
const isLastWord = (status) => status >= 400 && status < 500 && status !== 408 && status !== 429;

/** @param {HTMLTemplateElement} place */
const isSettled = (place) => place.content.childElementCount > 0 || "failed" in place.dataset;

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
