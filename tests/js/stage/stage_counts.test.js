// One line for each fill that was played, and what is said of it shared out among what is kept.
import assert from "node:assert/strict";
import test from "node:test";

import { byFill, cleanOf, playedInWords, shared, timesOf } from "../../../static/js/stage/stage_counts.js";

/** @typedef {import("../../../static/js/stage/practice_run.js").Item} Item */

/**
 * @param {number} loops
 * @param {number | null} [clean_loops]
 * @param {number} [tempo]
 */
const kept = (loops, clean_loops = null, tempo = 88) => ({
  counted: { loops, seconds: 20 * loops, tempo },
  how: { clean_loops, felt: /** @type {const} */ (""), note: "" },
});

/** @param {number} variation @param {Partial<Item>} [more] */
const item = (variation, more = {}) => /** @type {Item} */ ({ variation, name: String(variation), recheck: false, ...more });

/** Of one fill. @param {ReturnType<typeof kept>[]} all */
const aFill = (...all) => ({ item: item(7), all });

test("a fill that comes again is one line, and one that is played cold or simpler has its own", () => {
  const [first, other, cold, simpler, again] = [kept(4), kept(2), kept(1), kept(3), kept(2)];
  const found = byFill([
    [first, item(7)],
    [other, item(8)],
    [cold, item(7, { recheck: true })],
    [simpler, item(7, { easier: true })],
    [again, item(7)],
  ]);
  assert.deepEqual(found.map(({ all }) => all), [[first, again], [other], [cold], [simpler]]);
});

test("times through and tempos are of all that was kept of it", () => {
  const words = [aFill(kept(1)), aFill(kept(4, null, 79.6)), aFill(kept(4, null, 84), kept(2, null, 80))].map(playedInWords);
  assert.deepEqual(words, ["once through at 88", "4 times through at 80", "6 times through at 80 to 84"]);
});

test("what came out clean is added up, and unsaid while that of one is", () => {
  assert.equal(cleanOf(aFill(kept(4, 2), kept(2, 2))), 4);
  assert.equal(cleanOf(aFill(kept(4, 0))), 0);
  assert.equal(cleanOf(aFill(kept(4, 2), kept(2))), null);
});

test("a count is shared out whole, to none more than its times through", () => {
  for (const loops of [[4], [4, 2], [1, 1, 1], [3, 1, 4, 1, 5]]) {
    const fill = aFill(...loops.map((times) => kept(times)));
    for (let clean = 0; clean <= timesOf(fill); clean += 1) {
      const each = shared(fill, clean).map(Number);
      assert.equal(each.reduce((before, own) => before + own, 0), clean);
      assert.ok(each.every((own, place) => own >= 0 && own <= loops[place]), `${clean} of ${loops}: ${each}`);
    }
  }
});

test("what is not said of a fill is said of none of it", () => {
  assert.deepEqual(shared(aFill(kept(4), kept(2)), null), [null, null]);
});
