// Click, count and backing: what of them is scheduled, and when.
import assert from "node:assert/strict";
import test from "node:test";

import { Schedule } from "../../../static/js/player/schedule.js";
import { expected } from "../expected.js";
import { aBlock, events, only, times } from "./playing.js";

/** @typedef {import("../../../static/js/player/schedule.js").Block} Block */
/** @typedef {import("../../../static/js/player/schedule.js").Settings} Settings */
/** @type {Record<string, {block: Block, tones: [string, number, number, number][]}>} */
const BACKINGS = expected("backings.json");
/** @type {Record<string, {block: Block}>} */
const GRIDS = expected("exact_grids.json");
const SIX = GRIDS["6/8 at 240"].block;

/** Onsets in quarters of a bar's clicks, after a count-in of a bar. @param {Partial<Settings>} settings @param {Block} block */
function clicks(settings, block = aBlock()) {
  const found = events({ countIn: 0, ...settings }, { block });
  return only(found, "click").filter(({ time }) => time < block.bar);
}

test("the click divides beats into eighths, triplets and 16ths", () => {
  const onsets = (/** @type {Settings["click"]} */ click) => clicks({ click }).map(({ time }) => time);
  assert.deepEqual(onsets("beats"), [0, 1, 2, 3]);
  assert.deepEqual(onsets("eighths"), [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5]);
  assert.equal(onsets("triplets").length, 12);
  assert.ok(Math.abs(onsets("triplets")[1] - 1 / 3) < 1e-9);
  assert.equal(onsets("16ths").length, 16);
  assert.deepEqual(onsets("off"), []);
});

test("triplets of a dotted beat are its eighths", () => {
  const onsets = clicks({ click: "triplets" }, SIX).map(({ time }) => time);
  assert.deepEqual(onsets, [0, 0.5, 1, 1.5, 2, 2.5]);
});

test("what is between the beats is softer, and the one is another sound where it is told apart", () => {
  const levels = clicks({ click: "eighths" }).map(({ level }) => level);
  assert.ok(levels[1] < levels[0] && levels[2] === levels[0]);
  const names = (/** @type {boolean} */ accent) => clicks({ accent }).map(({ name }) => name);
  assert.deepEqual(names(true), ["click one", "click", "click", "click"]);
  assert.deepEqual(names(false), ["click", "click", "click", "click"]);
});

test("eighths between the beats swing with the groove", () => {
  const { block } = GRIDS["triplet swing at 100"];
  const second = clicks({ click: "eighths" }, block)[1].time;
  assert.ok(Math.abs(second - 0.67) < 0.01);
});

test("the click is silent in every other bar, or in two after two, never in the count-in", () => {
  const bars = (/** @type {Settings["gaps"]} */ gaps) => {
    const found = times(events({ gaps, loops: 2 }), "click", { name: "click one" });
    return found.map((time) => time / 4);
  };
  assert.deepEqual(bars("none"), [1, 2, 3, 4, 5, 6, 7, 8]);
  assert.deepEqual(bars("every other bar"), [1, 3, 5, 7]);
  assert.deepEqual(bars("two and two"), [1, 2, 5, 6]);
  assert.equal(times(events({ gaps: "every other bar" }), "click", { name: "count-in" }).length, 4);
});

test("a voice counts the beats in place of the sticks", () => {
  const said = only(events({ voice: true }), "click").filter(({ part }) => part === "voice");
  assert.deepEqual(said.map(({ name }) => name), ["say one", "say two", "say three", "say four"]);
  assert.deepEqual(said.map(({ time }) => time), [0, 1, 2, 3]);
  assert.deepEqual(times(events({ voice: true }), "click", { name: "count-in" }), []);
});

test("in 6/8 it counts the eighths, and the beats where those come too fast", () => {
  const said = (/** @type {number} */ tempo) => {
    const schedule = new Schedule(SIX, { tempo, voice: true });
    return only(schedule.events(0, (3 * 60) / tempo), "click").map(({ name }) => name.replace("say ", ""));
  };
  assert.deepEqual(said(60), ["one", "two", "three", "four", "five", "six"]);
  assert.deepEqual(said(200), ["one", "four"]);
});

test("each sound says which part it belongs to", () => {
  const found = only(events(), "sound");
  const parts = found.map(({ time, part }) => (time < 16 ? part === "groove" : time < 20 ? part === "fill" : part === "groove"));
  assert.ok(parts.every(Boolean));
  assert.ok(found.some(({ part }) => part === "fill"));
  const feet = only(events({}, { block: GRIDS["feet keep going"].block, until: 30 }), "sound");
  assert.ok(feet.some(({ part, surface, time }) => part === "groove" && surface === "bass drum" && time > 16));
});

test("nothing of the backing is heard until it is wanted, and none with the fill alone", () => {
  assert.equal(only(events(), "tone").length, 0);
  assert.equal(only(events({ backing: true, fillAlone: true }), "tone").length, 0);
});

test("a block of an older page has none", () => {
  const { backing, ...older } = aBlock();
  assert.ok(backing);
  assert.equal(only(events({ backing: true }, { block: older }), "tone").length, 0);
});

for (const [name, { block, tones }] of Object.entries(BACKINGS)) {
  test(`bass and chords are as the engine has them: ${name}`, () => {
    const found = only(events({ backing: true, countIn: 0 }, { block, until: 40 }), "tone");
    const written = found.map((tone) => [tone.name, tone.quarter, tone.quarters, tone.pitch]);
    const sorted = (/** @type {unknown[][]} */ list) => list.map((one) => JSON.stringify(one)).sort();
    assert.deepEqual(sorted(written), sorted(tones));
    assert.ok(found.every(({ seconds, quarters }) => Math.abs((seconds ?? 0) - quarters) < 1e-9));
  });
}

test("the bass swings with the bass drum", () => {
  const { block } = GRIDS["triplet swing at 100"];
  const found = events({ backing: true }, { block, until: 16 });
  const drum = times(found, "sound", { surface: "bass drum" });
  const bass = only(found, "tone").filter((tone) => tone.name === "bass" && tone.time < 16);
  assert.ok(bass.length > 4);
  for (const { time } of bass) assert.ok(time % 4 < 1e-9 || drum.some((at) => Math.abs(at - time) < 1e-9));
});
