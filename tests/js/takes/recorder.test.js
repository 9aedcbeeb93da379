// What is kept of strokes, and where they lie against a click.
import assert from "node:assert/strict";
import test from "node:test";

import { delayOf, median, Recorder } from "../../../static/js/takes/recorder.js";
import { expected } from "../expected.js";

/** @type {{offs: number[], median: number}} */
const LATE = expected("late_strokes.json");
const CLICK = { tempo: 120, start: 1000 };
const strokes = LATE.offs.map((off, beat) => 1000 + 500 * beat + off);

test("the delay is the middle of what is left against the beats, as numpy has it", () => {
  assert.equal(delayOf(strokes, CLICK)?.latency, LATE.median);
});

test("too few strokes tell no delay", () => {
  assert.equal(delayOf(strokes.slice(0, 5), CLICK), null);
});

test("strokes that are all as late as each other have no spread", () => {
  const even = strokes.map((_, beat) => 1030 + 500 * beat);
  assert.deepEqual(delayOf(even, CLICK), { latency: 30, spread: 0, strokes: 16 });
});

test("a stroke nearer to the next beat is early there", () => {
  const early = strokes.map((_, beat) => 1000 + 500 * beat + 480);
  assert.equal(delayOf(early, CLICK)?.latency, -20);
});

test("the median of an even number lies between the two in the middle", () => {
  assert.equal(median([9, 1, 4, 2]), 3);
});

test("a median leaves the numbers in their order", () => {
  const numbers = [3, 1, 2];
  median(numbers);
  assert.deepEqual(numbers, [3, 1, 2]);
});

test("a stroke is kept with its time from the origin, to a hundredth of a millisecond", () => {
  const recorder = new Recorder(100);
  assert.equal(recorder.hit(150.123456, 38, 90), true);
  assert.deepEqual(recorder.events, [[50.12, 38, 90]]);
});

test("strokes of the count-in are left out", () => {
  const recorder = new Recorder(0, { tempo: 60, start: 4000 });
  assert.equal(recorder.hit(3699, 38, 90), false);
  assert.deepEqual(recorder.events, []);
});

test("a stroke just before the first bar counts", () => {
  assert.equal(new Recorder(0, { tempo: 60, start: 4000 }).hit(3700, 38, 90), true);
});

test("no stroke comes before the origin", () => {
  const recorder = new Recorder(100);
  recorder.hit(90, 38, 90);
  assert.deepEqual(recorder.events, [[0, 38, 90]]);
});

test("a take says its click and its length from the origin on", () => {
  const recorder = new Recorder(100, { tempo: 90, start: 2766.67 });
  recorder.hit(2800, 38, 90);
  assert.deepEqual(recorder.take(5100), {
    events: [[2700, 38, 90]],
    click: { tempo: 90, start: 2666.67 },
    seconds: 5,
  });
});

test("a take without a click says so", () => {
  assert.equal(new Recorder(0).take(1000).click, null);
});
