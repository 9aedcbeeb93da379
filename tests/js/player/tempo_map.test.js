// Where positions fall in time, against sums done here by hand.
import assert from "node:assert/strict";
import test from "node:test";

import { TempoMap } from "../../../static/js/player/tempo_map.js";

const LADDER = { from: 8, length: 4, by: 30, top: 120 };

test("a quarter lasts a minute divided by the tempo", () => {
  assert.equal(new TempoMap(0, 0, 120).timeAt(8), 4);
});

test("a map begins at the position and time that it is given", () => {
  assert.equal(new TempoMap(10, 5, 60).timeAt(12), 7);
});

test("positions before the first change are reckoned back from it", () => {
  assert.equal(new TempoMap(10, 5, 60).timeAt(8), 3);
});

test("times lead back to their positions on every step of a ladder", () => {
  const map = new TempoMap(0, 0, 60, LADDER);
  for (const quarter of [0, 3.5, 8, 9.25, 12, 15.75, 40]) {
    assert.ok(Math.abs(map.quarterAt(map.timeAt(quarter)) - quarter) < 1e-9);
  }
});

test("a ladder rises at its steps and ends at its top", () => {
  const map = new TempoMap(0, 0, 60, LADDER);
  assert.deepEqual([7.9, 8, 11.9, 12, 100].map((quarter) => map.tempoAt(quarter)), [60, 90, 90, 120, 120]);
});

test("a ladder never slows a tempo that is over its top", () => {
  assert.equal(new TempoMap(0, 0, 150, LADDER).tempoAt(100), 150);
});

test("an hour on a ladder adds up to what its steps last", () => {
  const map = new TempoMap(0, 0, 60, LADDER);
  const steps = 8 + 4 * (60 / 90) + (7200 - 12) * 0.5;
  assert.ok(Math.abs(map.timeAt(7200) - steps) < 1e-9);
});
