// The notation on the stage: a fill or its groove, as large as the screen lets it be; the note that
// sounds in the accent's colour, with a bar under it.
import { Light } from "../player/note_light.js";
import { part } from "../site/dom.js";
import { Drawings, measuresOf, showRows } from "./stage_drawing.js";
import { SMALLEST, STAFF, fit, pageOf, staffFor } from "./notation_fit.js";

/**
 * Keys of drawings: for the stage; with short rows, for who wants it larger; small, for a groove
 * above its fill; and what is shown until those for the stage are made.
 *
 * @typedef {{stage: string[], large?: string, small?: string, page?: string}} Keys
 */
/** @typedef {{fill: Keys, groove: Keys | null}} Shown a silent groove has none */
/** @typedef {{drawing: SVGSVGElement, measures: import("./notation_fit.js").Measures}} Measured */

const GROOVE_STAFF = 38; // px
const ROOM_FOR_BOTH = 757; // px of height, from which on the groove stands above its fill

export class Notation {
  /** @type {string | null} */
  #block = null;
  #grooveAlone = false;
  #countIn = false;
  #showsGroove = false;
  #row = 0;
  #shownAs = "";
  /** @type {Measured | null} */
  #measured = null;
  /** @type {import("./notation_fit.js").Fit | null} */
  #fit = null;

  /**
   * @param {HTMLElement} root
   * @param {Record<string, Shown>} shown by the key of the block
   */
  constructor(root, shown) {
    this.root = root;
    this.shown = shown;
    this.place = part(root, "[data-stage-notation]");
    this.mark = part(root, "[data-stage-mark]");
    this.coming = part(root, "[data-stage-coming]");
    this.groove = part(root, "[data-stage-groove]");
    this.lit = new Light(this.place);
    this.litGroove = new Light(this.groove);
    this.drawings = new Drawings(() => this.layOut());
    new ResizeObserver(() => this.layOut()).observe(this.place);
  }

  // The stage was opened.
  begin() {
    this.#shownAs = "";
    this.layOut();
  }

  /**
   * @param {string} block
   * @param {boolean} grooveAlone
   */
  show(block, grooveAlone) {
    if (block !== this.#block || grooveAlone !== this.#grooveAlone) this.#row = 0;
    this.#block = block;
    this.#grooveAlone = grooveAlone;
    this.layOut();
  }

  /** A bar begins: what was lit before it goes out. @param {import("../player/schedule.js").BarKind} kind */
  bar(kind) {
    const isCountIn = kind === "count-in";
    if (isCountIn !== this.#countIn) {
      this.#countIn = isCountIn;
      this.#row = 0;
      this.layOut();
    }
    this.litGroove.off();
    if (this.#showsGroove) this.#out();
    else if (kind !== "fill") this.dark();
  }

  /** @param {number | null} note the index of the fill's stroke */
  light(note) {
    if (!this.#showsGroove) this.#light(note);
  }

  /** @param {number | null} note the index of the groove's stroke */
  lightGroove(note) {
    if (this.#showsGroove) this.#light(note);
    else this.litGroove.on(note);
  }

  /** @param {number | null} note of what is shown large */
  #light(note) {
    this.lit.on(note);
    const head = this.place.querySelector("g.stroke.lit use");
    const line = head && this.#rowOf(head);
    if (!head || line === null || !this.#fit) {
      this.mark.hidden = true;
      return;
    }
    if (line !== this.#row) {
      this.#row = line;
      this.#turn();
    }
    this.#put(head, line);
  }

  // Nothing sounds that is written here; from here on it is read from the beginning.
  dark() {
    this.litGroove.off();
    this.#out();
    if (this.#row) {
      this.#row = 0;
      this.#turn();
    }
  }

  #out() {
    this.lit.off();
    this.mark.hidden = true;
  }

  layOut() {
    if (this.root.hidden || this.#block === null) return;
    const keys = this.shown[this.#block];
    const hasRoom = this.root.clientHeight >= ROOM_FOR_BOTH;
    this.#showsGroove = this.#grooveAlone || (this.#countIn && !hasRoom && keys.groove !== null);
    this.#showSmallGroove(hasRoom && !this.#grooveAlone ? keys.groove : null);
    const step = Number(this.root.dataset.step);
    const read = (this.#showsGroove && keys.groove) || keys.fill;
    const found = this.#found(read, { larger: step > 0 });
    this.#sayIfComing(found.length ? [] : read.stage);
    if (!found.length) {
      this.place.replaceChildren();
      this.#shownAs = "";
      return;
    }
    const screen = { width: this.root.clientWidth, height: this.root.clientHeight };
    const staff = staffFor(screen, step);
    const room = { width: this.place.clientWidth, height: this.place.clientHeight };
    if (!room.width || !room.height) return;
    this.#fit = fit(found.map(({ measures }) => measures), room, staff);
    this.#measured = found[this.#fit.drawing];
    this.#mount();
    const isForStage = "rows" in this.#measured.drawing.dataset; // what stands in until then is small
    const isSmall = isForStage && Math.round(this.#fit.scale * STAFF) < Math.round(Math.min(SMALLEST, staff.wanted));
    part(this.root, "[data-stage-turn]").hidden = !isSmall || screen.width > screen.height;
  }

  /**
   * Those for the stage that are made, or else the page's own.
   *
   * @param {Keys} keys
   * @param {{larger?: boolean}} [how]
   * @returns {Measured[]}
   */
  #found({ stage, large, page }, { larger = false } = {}) {
    const made = [larger && large ? [...stage, large] : stage, page ? [page] : []]
      .map((some) => some.flatMap((key) => this.drawings.get(key) ?? []))
      .find((some) => some.length);
    return (made ?? []).map((drawing) => ({ drawing, measures: measuresOf(drawing) }));
  }

  /** @param {string[]} keys of what is not there yet */
  #sayIfComing(keys) {
    this.coming.hidden = !keys.length;
    if (!keys.length) return;
    const cannot = this.drawings.cannotCome(keys);
    const words = cannot ? "This could not be engraved." : "Being engraved …";
    if (this.coming.textContent !== words) this.coming.textContent = words;
  }

  #mount() {
    if (!this.#measured || !this.#fit) return;
    const as = this.#measured.drawing.querySelector("[id]")?.id ?? "";
    if (as !== this.#shownAs) {
      this.#out();
      this.place.replaceChildren(this.#measured.drawing);
      this.#shownAs = as;
    } else {
      const drawing = this.place.querySelector("svg");
      if (drawing) this.#measured = { ...this.#measured, drawing };
    }
    this.#turn();
  }

  // To the page of rows that the note which sounds is on.
  #turn() {
    if (!this.#measured || !this.#fit) return;
    const { drawing, measures } = this.#measured;
    const { rows, scale } = this.#fit;
    showRows(drawing, measures, { first: this.#first, rows, scale });
  }

  get #first() {
    const [rows, of] = [this.#fit?.rows ?? 1, (this.#measured?.measures.edges.length ?? 2) - 1];
    return pageOf(Math.min(this.#row, of - 1), rows, of);
  }

  /** @param {Element} head */
  #rowOf(head) {
    const top = head.getBoundingClientRect().top;
    const drawing = this.#measured?.drawing;
    if (!drawing || !this.#fit) return null;
    const { scale } = this.#fit;
    const { edges } = this.#measured?.measures ?? { edges: [] };
    const y = edges[this.#first] + (top - drawing.getBoundingClientRect().top) / scale;
    return Math.max(0, edges.findLastIndex((edge) => edge <= y));
  }

  /**
   * The bar under a note, at the foot of its row.
   *
   * @param {Element} head
   * @param {number} line
   */
  #put(head, line) {
    if (!this.#measured || !this.#fit) return;
    const around = part(this.root, "[data-stage-middle]").getBoundingClientRect();
    const { left, width } = head.getBoundingClientRect();
    const { top } = this.#measured.drawing.getBoundingClientRect();
    const { edges } = this.#measured.measures;
    const foot = top + (edges[line + 1] - edges[this.#first]) * this.#fit.scale;
    this.mark.hidden = false;
    this.mark.style.width = `${width}px`;
    this.mark.style.transform = `translate(${left - around.left}px, ${foot - around.top - 3}px)`;
  }

  /** @param {Keys | null} keys */
  #showSmallGroove(keys) {
    const [found] = keys?.small ? this.#found({ stage: [keys.small] }) : [];
    if (!found) {
      this.groove.replaceChildren();
      return;
    }
    const { drawing, measures } = found;
    const height = measures.edges[1] - measures.edges[0];
    const room = { width: this.groove.clientWidth, height: this.groove.clientHeight };
    const scale = Math.min(GROOVE_STAFF / STAFF, room.width / measures.width, room.height / height);
    for (const named of drawing.querySelectorAll("title, desc")) named.remove();
    drawing.removeAttribute("aria-labelledby");
    showRows(drawing, measures, { first: 0, rows: 1, scale });
    this.groove.replaceChildren(drawing);
  }
}
