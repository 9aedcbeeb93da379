// How large a fill is on a screen: both rows of a phone held upright, one of a phone on its side.
import assert from "node:assert/strict";
import test from "node:test";

import { STAFF, fit, pageOf, staffFor } from "../../../static/js/stage/notation_fit.js";

const ROW = 2300; // units, as most rows are
/** @param {number} width @param {number} rows @returns {import("../../../static/js/stage/notation_fit.js").Measures} */
const drawing = (width, rows) => ({ width, edges: Array.from({ length: rows + 1 }, (_, row) => row * ROW) });
const UPRIGHT = drawing(2860, 2);
const ON_ITS_SIDE = drawing(5280, 1);
const LARGE = drawing(2360, 4);
const BOTH = [UPRIGHT, ON_ITS_SIDE];

/**
 * @param {number} width of the screen
 * @param {number} height
 * @param {number} [step]
 * @param {import("../../../static/js/stage/notation_fit.js").Measures[]} [drawings]
 */
function shown(width, height, step = 0, drawings = BOTH) {
  const isUpright = width < height;
  const room = { width: isUpright ? width : width - 80, height: height - (isUpright ? 164 : 56) };
  const found = fit(drawings, room, staffFor({ width, height }, step));
  return { drawing: drawings[found.drawing], rows: found.rows, staff: Math.round(found.scale * STAFF) };
}

test("a phone held upright shows both rows, its staff 98 px high", () => {
  assert.deepEqual(shown(390, 844), { drawing: UPRIGHT, rows: 2, staff: 98 });
});

test("a phone on its side shows one row", () => {
  assert.deepEqual(shown(844, 390), { drawing: ON_ITS_SIDE, rows: 1, staff: 98 });
});

test("a tablet and a desktop have a staff of 112 px", () => {
  assert.equal(shown(1280, 800).staff, 112);
  assert.equal(shown(1280, 800).drawing, ON_ITS_SIDE);
  assert.equal(shown(768, 1024).staff, 112);
});

test("a small phone shows one row at a time rather than what cannot be read", () => {
  const { rows, staff } = shown(320, 568);
  assert.equal(rows, 1);
  assert.ok(staff >= 72);
});

test("who wants it larger has short rows, two at a time", () => {
  const found = shown(390, 844, 1, [...BOTH, LARGE]);
  assert.deepEqual([found.drawing, found.rows], [LARGE, 2]);
  assert.ok(found.staff > 100);
});

test("who wants it smaller has it smaller", () => {
  assert.ok(shown(390, 844, -1).staff < 98);
});

test("a phrase of two bars goes by two rows at a time", () => {
  const { rows, staff } = shown(390, 844, 0, [drawing(2860, 4), drawing(5280, 2)]);
  assert.deepEqual({ rows, staff }, { rows: 2, staff: 98 });
});

test("every row is on the page of rows that is shown with it", () => {
  for (const of of [1, 2, 3, 4, 5]) {
    for (let rows = 1; rows <= of; rows += 1) {
      for (let row = 0; row < of; row += 1) {
        const first = pageOf(row, rows, of);
        assert.ok(first <= row && row < first + rows && first + rows <= of);
      }
    }
  }
});
