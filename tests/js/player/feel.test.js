// Which feel a block is played by, and what that moves; exact times are held in pump.test.js.
import assert from "node:assert/strict";
import test from "node:test";

import { STRAIGHT, Warp, feelOf, swung, tupletsAmong } from "../../../static/js/player/feel.js";
import { aBlock, events, only, times } from "./playing.js";

/** @typedef {import("../../../static/js/player/schedule.js").Sound} Sound */

const HARD = { share: 0.75, pair: 1, words: "Hard swing" };

/**
 * The onsets, in quarters from its bar line, of the fill's strokes.
 *
 * @param {Partial<import("../../../static/js/player/schedule.js").Settings>} settings
 * @param {import("../../../static/js/player/schedule.js").Block} [block]
 */
const strokes = (settings, block = aBlock()) =>
  times(events(settings, { block }), "note").map((time) => time - 16);

const straight = [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5];
const hard = [0, 0.75, 1, 1.75, 2, 2.75, 3, 3.75];

test("a block without a feel is played as written", () => {
  const old = { ...aBlock(), feel: undefined, feels: undefined, grooveFeels: undefined, tuplets: undefined };
  assert.deepEqual(strokes({}, old), straight);
  assert.deepEqual(strokes({ feel: "eighths 75" }, old), straight);
});

test("a block is played by its own feel", () => {
  assert.deepEqual(strokes({}, { ...aBlock(), feel: "eighths 75" }), hard);
});

test("a feel that is chosen goes before the block's own", () => {
  assert.deepEqual(strokes({ feel: "eighths 75" }), hard);
  assert.deepEqual(strokes({ feel: "straight" }, { ...aBlock(), feel: "eighths 75" }), straight);
});

test("another groove brings its feel with it, the block's own does not", () => {
  const block = { ...aBlock(), grooveFeels: { "jazz ride": "eighths 67", rock: "eighths 58" } };
  assert.equal(feelOf(block, { groove: "jazz ride", feel: null }), "eighths 67");
  assert.equal(feelOf(block, { groove: "rock", feel: null }), "straight");
  assert.equal(feelOf(block, { groove: "funk", feel: null }), "straight");
  assert.equal(feelOf(block, { groove: "jazz ride", feel: "eighths 75" }), "eighths 75");
});

test("the groove swings, and its beats and the click do not", () => {
  const found = events({ feel: "eighths 75" });
  const hats = times(found, "sound", { surface: "hi-hat" }).filter((time) => time < 8);
  assert.deepEqual(hats.map((time) => time - 4), hard);
  assert.deepEqual(times(found, "click"), times(events(), "click"));
});

test("what is counted is lit with what sounds", () => {
  const found = events({ feel: "eighths 75" });
  assert.deepEqual(times(found, "count"), times(found, "note"));
});

test("a groove in triplets is played as written", () => {
  const played = (/** @type {object} */ settings) => times(events({ groove: "shuffle", ...settings }), "sound", { surface: "hi-hat" });
  assert.deepEqual(played({ feel: "eighths 75" }), played({}));
});

test("another feel is taken up within the bar", () => {
  const found = events({}, { change: { time: 6, settings: { feel: "eighths 75" } } });
  const hats = times(found, "sound", { surface: "hi-hat" }).filter((time) => time < 8);
  assert.deepEqual(hats.map((time) => time - 4), [0, 0.5, 1, 1.5, 2, 2.75, 3, 3.75]);
});

test("windows that touch give every swung event once", () => {
  assert.deepEqual(events({ feel: "eighths 67" }, { step: 0.25 }), events({ feel: "eighths 67" }, { step: 64 }));
  assert.equal(only(events({ feel: "eighths 67" }), "sound").length, only(events(), "sound").length);
});

test("straight moves nothing", () => {
  const warp = new Warp(STRAIGHT, []);
  for (const onset of [-0.05, 0, 1 / 3, 0.5, 7.75]) assert.equal(warp.sounding(onset), onset);
});

test("beats that are divided otherwise are told by what is in them", () => {
  assert.deepEqual(tupletsAmong([0, 0.25, 1 / 3, 1, 1.5, 2, 2 + 2 / 3]), [0, 5]);
  assert.equal(new Warp(HARD, tupletsAmong([0, 0.5, 1 + 2 / 3])).sounding(1.5), 1.5);
  assert.equal(new Warp(HARD, tupletsAmong([0, 0.5, 1 + 2 / 3])).sounding(0.5), 0.75);
});

test("grace notes stay by their stroke", () => {
  const sound = { surface: "snare", dynamic: "normal", note: 0, grace: false };
  /** @type {Sound[]} */
  const flam = [{ ...sound, onset: 0 }, { ...sound, onset: 0.45, note: 1, grace: true }, { ...sound, onset: 0.5, note: 1 }];
  const [, grace, stroke] = swung(flam, new Warp(HARD, []));
  assert.equal(stroke.onset, 0.75);
  assert.ok(Math.abs(grace.onset - 0.7) < 1e-12);
});
