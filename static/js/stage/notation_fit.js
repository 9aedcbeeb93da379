// Which drawing of a fill is shown on a screen, how large, and how many of its rows. Pure.

/**
 * A drawing's measures in its own units, of which 720 are a staff: `edges` are where its rows begin,
 * and where the last one ends.
 *
 * @typedef {{width: number, edges: number[]}} Measures
 */
/** @typedef {{width: number, height: number}} Room in px */
/** @typedef {{wanted: number, least: number}} Staff px */
/** @typedef {{drawing: number, rows: number, scale: number}} Fit which drawing, so many rows at once, px a unit */

export const STAFF = 720; // units
export const SMALLEST = 72; // px of a staff that can be read from a metre
const WIDE = 768; // px, from which on it is no phone …
const HIGH = 576; // … unless it lies on its side
const WANTED = [98, 112]; // px of a staff, on a phone and on larger screens
const STEPS = [0.85, 1, 1.2];
const NEARLY = 0.9;

/**
 * The staff wanted on a screen and the least at which all rows are shown at once, in px.
 *
 * @param {Room} screen
 * @param {number} step -1 smaller, 0, 1 larger
 * @returns {Staff}
 */
export function staffFor({ width, height }, step) {
  const [phone, large] = WANTED;
  const wanted = (width < WIDE || height < HIGH ? phone : large) * STEPS[step + 1];
  return { wanted, least: step > 0 ? NEARLY * wanted : Math.min(SMALLEST, wanted) };
}

/**
 * All rows at once, as large as they can be up to the wanted staff, where that can be read; else as
 * many of them as nearly have it. Of two that are as good, the one with fewer rows.
 *
 * @param {Measures[]} drawings
 * @param {Room} room
 * @param {Staff} staff
 * @returns {Fit}
 */
export function fit(drawings, room, { wanted, least }) {
  const all = drawings.flatMap((measures, drawing) =>
    measures.edges.slice(1).map((_, index) => {
      const rows = index + 1;
      return { drawing, rows, of: measures.edges.length - 1, scale: scaleOf(measures, rows, room, wanted) };
    }),
  );
  /** @param {number} px @param {typeof all} [some] */
  const atLeast = (px, some = all) => some.filter(({ scale }) => scale * STAFF >= px);
  const whole = all.filter(({ rows, of }) => rows === of);
  const readable = [atLeast(least, whole), atLeast(NEARLY * wanted), atLeast(Math.min(SMALLEST, wanted))].find(
    (some) => some.length,
  );
  const [best] = readable ? readable.sort((one, other) => moreShown(one, other) || larger(one, other)) : all.sort(larger);
  return { drawing: best.drawing, rows: best.rows, scale: best.scale };
}

/** @typedef {Fit & {of: number}} Choice */

/** @param {Choice} one @param {Choice} other */
const moreShown = (one, other) => other.rows / other.of - one.rows / one.of;

/** @param {Choice} one @param {Choice} other */
const larger = (one, other) => Math.round(other.scale * STAFF) - Math.round(one.scale * STAFF) || one.of - other.of;

/**
 * @param {Measures} measures
 * @param {number} rows at once
 * @param {Room} room
 * @param {number} wanted
 */
function scaleOf({ width, edges }, rows, room, wanted) {
  const heights = edges.slice(rows).map((end, first) => end - edges[first]);
  return Math.min(wanted / STAFF, room.width / width, room.height / Math.max(...heights));
}

/**
 * The first row of the page of rows that a row is on; the last page is a full one too.
 *
 * @param {number} row
 * @param {number} rows at once
 * @param {number} of
 */
export function pageOf(row, rows, of) {
  return Math.min(Math.floor(row / rows) * rows, of - rows);
}
