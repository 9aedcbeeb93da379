// What the player plays when, as its scheduling core gives it.
import assert from "node:assert/strict";
import test from "node:test";

import { expected } from "../expected.js";
import { aBlock, events, kindsOfBars, only, times } from "./playing.js";

/**
 * @param {number[]} found
 * @param {number[]} wanted
 */
function assertClose(found, wanted) {
  assert.equal(found.length, wanted.length);
  found.forEach((one, index) => assert.ok(Math.abs(one - wanted[index]) < 1e-6, `${one}, not ${wanted[index]}`));
}

test("a count-in leads to the groove and the fill and the end", () => {
  const found = events();
  assert.deepEqual(kindsOfBars(found), ["count-in", "groove", "groove", "groove", "fill"]);
  assert.deepEqual(times(found, "loop"), [20]);
  assert.deepEqual(times(found, "ended"), [21]);
  assert.equal(found.at(-1)?.type, "ended");
});

test("each bar says what comes next", () => {
  const following = only(events(), "bar").map(({ next }) => next);
  assert.deepEqual(following, ["groove", "groove", "groove", "fill", "end"]);
});

for (const bars of [4, 8, 12, 16]) {
  test(`a block of ${bars} bars is groove but for its last bar`, () => {
    const found = events({}, { block: aBlock(bars), until: 80 });
    assert.deepEqual(kindsOfBars(found).slice(1), [...Array(bars - 1).fill("groove"), "fill"]);
  });
}

test("windows that touch give every event once", () => {
  assert.deepEqual(events({}, { step: 0.25 }), events({}, { step: 64 }));
});

/** Eighths of rock, of which the last bar has a fill from 3 on. */
function aLateFill() {
  const block = aBlock();
  const grooveSpans = /** @type {[number, number][]} */ ([[0, 2]]);
  return { ...block, fillStart: 2, grooveSpans, fill: block.fill.filter(({ onset }) => onset >= 2) };
}

/** The onsets, in quarters from its bar line, at which the hi-hat sounds in the fill's bar. @param {object} settings */
const hatsBeforeTheFill = (settings) =>
  times(events(settings, { block: aLateFill() }), "sound", { surface: "hi-hat" })
    .map((time) => time - 16)
    .filter((onset) => onset >= 0 && onset < 4);

test("the groove goes on until a late fill starts", () => {
  assert.deepEqual(hatsBeforeTheFill({}), [0, 0.5, 1, 1.5]);
  assert.deepEqual(hatsBeforeTheFill({ muteFill: true }), [0, 0.5, 1, 1.5]);
});

/** The strokes of the engraved groove, and when they come. @param {ReturnType<typeof events>} found */
const ofTheGroove = (found) => only(found, "groove").map(({ time, note }) => [note, time]);

test("each stroke of the engraved groove comes where it is struck, in every bar of groove", () => {
  const wanted = [4, 8, 12].flatMap((bar) => Array.from({ length: 8 }, (_, note) => [note, bar + note / 2]));
  assert.deepEqual(ofTheGroove(events()), wanted);
  assert.deepEqual(ofTheGroove(events({ muteFill: true })), wanted);
});

test("in the bar of a late fill they go on until it starts", () => {
  const found = ofTheGroove(events({}, { block: aLateFill() })).filter(([, time]) => Number(time) >= 16);
  assert.deepEqual(found, [[0, 16], [1, 16.5], [2, 17], [3, 17.5]]);
});

test("the one after the fill is the groove's first stroke as well", () => {
  assert.ok(ofTheGroove(events({ loops: 2 })).some(([note, time]) => note === 0 && time === 20));
});

test("a groove that is not the engraved one strikes none of its strokes, and a fill alone neither", () => {
  const other = Object.keys(aBlock().grooves).find((name) => name !== aBlock().groove);
  assert.ok(other);
  assert.deepEqual(ofTheGroove(events({ groove: other })), []);
  assert.deepEqual(ofTheGroove(events({ fillAlone: true })), []);
});

test("in the bar that leads into a fill nothing of the engraved groove is struck", () => {
  const block = aBlock();
  const setups = { [block.groove]: block.grooves[block.groove].map((sound) => ({ ...sound, note: null })) };
  const bars = new Set(ofTheGroove(events({}, { block: { ...block, setups } })).map(([, time]) => Math.floor(Number(time) / 4)));
  assert.deepEqual([...bars], [1, 2]);
});

test("a late fill alone has no groove", () => {
  const found = times(events({ fillAlone: true }, { block: aLateFill() }), "sound", { surface: "hi-hat" });
  assert.deepEqual(found, []);
});

/** Rock and a fill of eighths, under which the hi-hat foot is on 2 and 4. */
function overFeet() {
  const feet = [1, 3].map((onset) => ({ onset, surface: "hi-hat foot", dynamic: "normal", note: null, grace: false }));
  return { ...aBlock(), feet };
}

for (const muteFill of [false, true]) {
  test(`feet keep going under a fill ${muteFill ? "that is muted" : "that is heard"}`, () => {
    const found = events({ muteFill }, { block: overFeet() });
    assert.deepEqual(times(found, "sound", { surface: "hi-hat foot" }), [17, 19]);
    assert.deepEqual(times(found, "note"), Array.from({ length: 8 }, (_, place) => 16 + place / 2));
  });
}

test("between the fills of a phrase the groove goes on", () => {
  const phrase = /** @type {[number, number][]} */ ([[0, 1], [2, 3]]);
  const found = events({}, { block: { ...aLateFill(), fill: [], grooveSpans: phrase } });
  const hats = times(found, "sound", { surface: "hi-hat" }).map((time) => time - 16);
  assert.deepEqual(hats.filter((onset) => onset >= 0 && onset < 4), [0, 0.5, 2, 2.5]);
});

/** Rock, and a fill of eighths that takes the last two bars. */
function ofTwoBars() {
  const block = aBlock();
  const again = block.fill.map((sound) => ({ ...sound, onset: sound.onset + 4, note: (sound.note ?? 0) + 8 }));
  return { ...block, fillBars: 2, fill: [...block.fill, ...again] };
}

test("a fill of two bars takes the last two", () => {
  const found = events({}, { block: ofTwoBars() });
  assert.deepEqual(kindsOfBars(found), ["count-in", "groove", "groove", "fill", "fill"]);
  assert.deepEqual(times(found, "note"), Array.from({ length: 16 }, (_, place) => 12 + place / 2));
});

test("a fill of two bars alone is both of them", () => {
  const found = events({ fillAlone: true, loops: 2 }, { block: ofTwoBars() });
  assert.deepEqual(kindsOfBars(found), ["count-in", "fill", "fill", "fill", "fill"]);
  assert.deepEqual(times(found, "loop"), [12, 20]);
});

test("the crash comes on one after the fill", () => {
  assert.deepEqual(times(events({ loops: 2 }), "sound", { surface: "crash" }), [20, 36]);
});

test("the landing takes the place of the groove's one", () => {
  const landing = only(events({ loops: 2 }), "sound").filter(({ time }) => time === 20);
  assert.deepEqual(landing.map(({ surface }) => surface), ["crash", "bass drum"]);
});

test("loops are counted as they are through", () => {
  const looped = only(events({ loops: 3 }), "loop").map(({ time, loops }) => [time, loops]);
  assert.deepEqual(looped, [[20, 1], [36, 2], [52, 3]]);
});

test("for ever does not end", () => {
  const found = events({ loops: 0 }, { until: 1000, step: 10 });
  assert.equal(times(found, "loop").length, 62);
  assert.deepEqual(times(found, "ended"), []);
});

/** @type {["beats" | "one" | "off", number][]} */
const CLICKS = [["beats", 20], ["one", 4 + 4], ["off", 4]];
for (const [click, clicks] of CLICKS) {
  test(`the click "${click}" sounds ${clicks} times in a loop with its count-in`, () => {
    assert.equal(times(events({ click }), "click").length, clicks);
  });
}

test("the click on one is on the first beat of each bar", () => {
  const found = events({ click: "one" });
  assert.deepEqual(times(found, "click", { name: "click one" }), [4, 8, 12, 16]);
});

test("the sticks count in", () => {
  assert.deepEqual(times(events(), "click", { name: "count-in" }), [0, 1, 2, 3]);
});

test("the first click of a bar is another than the rest", () => {
  assert.deepEqual(times(events(), "click", { name: "click one" }), [4, 8, 12, 16]);
});

test("a muted fill is lit but not heard", () => {
  const found = events({ muteFill: true });
  assert.equal(times(found, "note").length, 8);
  assert.deepEqual(only(found, "sound").filter(({ note }) => note !== null), []);
  assert.equal(times(found, "sound", { surface: "crash" }).length, 1);
});

test("the fill alone has no groove", () => {
  const found = events({ fillAlone: true, loops: 2 });
  assert.deepEqual(kindsOfBars(found), ["count-in", "fill", "fill"]);
  assert.deepEqual(times(found, "loop"), [8, 12]);
  assert.deepEqual(times(found, "sound", { surface: "hi-hat" }), []);
});

test("half the tempo is twice as long", () => {
  assert.deepEqual(times(events({ slow: true }), "loop"), [40]);
});

test("the ladder climbs every so many loops", () => {
  const looped = only(events({ loops: 0, ladderBy: 60, ladderEvery: 2 }, { until: 80 }), "loop");
  const last = 52 + 32 / 3;
  const at = [20, 36, 44, 52, 52 + 16 / 3, last, ...[1, 2, 3, 4].map((k) => last + 4 * k)];
  assertClose(looped.map(({ time }) => time), at);
  assert.deepEqual(looped.map(({ tempo }) => tempo), [60, 60, 120, 120, 180, 180, 240, 240, 240, 240]);
});

test("the ladder ends at the fastest tempo", () => {
  const found = events({ loops: 0, tempo: 200, ladderBy: 50, ladderEvery: 1 }, { until: 60 });
  assert.deepEqual(new Set(only(found, "loop").map(({ tempo }) => tempo)), new Set([200, 240]));
});

test("a new tempo is taken up where the music is", () => {
  const found = events({}, { change: { time: 10, settings: { tempo: 120 } } });
  assert.deepEqual(times(found, "bar"), [0, 4, 8, 11, 13]);
  assert.deepEqual(times(found, "loop"), [15]);
});

test("another groove is taken up within the bar", () => {
  const found = events({}, { change: { time: 6, settings: { groove: "jazz ride" } } });
  assert.ok(Math.max(...times(found, "sound", { surface: "hi-hat" })) < 6);
  assert.ok(Math.min(...times(found, "sound", { surface: "ride" })) >= 6);
});

test("fewer loops than are played already end with this one", () => {
  const found = events({ loops: 0 }, { change: { time: 30, settings: { loops: 1 } } });
  assert.deepEqual(times(found, "ended"), [37]);
});

test("a change after the last fill begins nothing anew", () => {
  const found = events({}, { change: { time: 20.5, settings: { loops: 4 } } });
  assert.deepEqual(times(found, "ended"), [21]);
  assert.equal(Math.max(...times(found, "bar")), 16);
});

test("a resumed loop is counted in and numbered on", () => {
  const found = events({ loops: 3 }, { start: { done: 2 } });
  assert.deepEqual(kindsOfBars(found), ["count-in", "groove", "groove", "groove", "fill"]);
  assert.deepEqual(only(found, "loop").map(({ loops }) => loops), [3]);
});

test("every stroke of the fill is lit once with its sound", () => {
  const found = events();
  const lit = only(found, "note").map(({ note, time }) => [note, time]);
  const heard = only(found, "sound").filter(({ note }) => note !== null).map(({ note, time }) => [note, time]);
  assert.deepEqual(lit, heard);
  assert.deepEqual(lit.map(([note]) => note), [0, 1, 2, 3, 4, 5, 6, 7]);
});

/** Rock of eighths, whose second bar is hi-hats on the quarters alone. */
function aGrooveOfTwoBars() {
  const block = aBlock();
  const hats = block.grooves.rock.filter(({ surface }) => surface === "hi-hat");
  const second = hats.filter(({ onset }) => onset % 1 === 0).map((hat) => ({ ...hat, onset: hat.onset + 4 }));
  return { ...block, grooves: { rock: [...hats, ...second] }, grooveBars: { rock: 2 } };
}

/** How often the hi-hat sounds in each bar of a block of four. @param {import("./playing.js").Asked["block"]} block */
function hatsInEachBar(block) {
  const found = times(events({}, { block }), "sound", { surface: "hi-hat" });
  return [4, 8, 12, 16].map((start) => found.filter((time) => start <= time && time < start + 4).length);
}

test("a groove of two bars plays them by turns", () => {
  assert.deepEqual(hatsInEachBar(aGrooveOfTwoBars()), [8, 4, 8, 0]);
});

test("a groove of a page kept on the device is one bar", () => {
  const { grooveBars: _, ...older } = aBlock();
  assert.deepEqual(hatsInEachBar(older), [8, 8, 8, 0]);
});

test("where the fill’s bars begin with groove, its one is the landing on the way back", () => {
  const { block } = expected("exact_grids.json")["a phrase as long as its block"];
  const crashes = times(events({ loops: 2 }, { block }), "sound", { surface: "crash" });
  assert.deepEqual(crashes, [20, 36]);
  const hats = times(events({ loops: 2 }, { block }), "sound", { surface: "hi-hat" });
  assert.ok(hats.includes(4) && !hats.includes(20));
});

test("each fill of a phrase has a bar that leads into it", () => {
  const { block } = expected("exact_grids.json")["a phrase as long as its block"];
  const snare = times(events({}, { block }), "sound", { surface: "snare", note: null });
  assert.deepEqual(snare, [1, 3, 3.5, 5, 9, 11, 11.5].map((onset) => onset + 4));
});

test("the last bar before the fill leads into it", () => {
  const block = aBlock();
  const setups = { rock: block.grooves.rock.filter(({ surface, onset }) => surface === "hi-hat" && onset < 1) };
  assert.deepEqual(hatsInEachBar({ ...block, setups }), [8, 8, 2, 0]);
  assert.deepEqual(hatsInEachBar({ ...block, setups: { funk: [] } }), [8, 8, 8, 0]);
});
