// What a player says of its block.
import assert from "node:assert/strict";
import test from "node:test";

import { blockInWords, unitInWords } from "../../../static/js/player/block_words.js";
import { aBlock } from "./playing.js";

const counts = [
  { onset: 0, label: "1", struck: false },
  { onset: 2, label: "3", struck: true },
  { onset: 2.5, label: "3 &", struck: true },
];
/** @param {Partial<import("../../../static/js/player/block.js").Block>} changed */
const words = (changed, fillAlone = false) => blockInWords({ ...aBlock(), counts, ...changed }, fillAlone);

test("whole bars of groove before a fill are counted", () => {
  assert.equal(words({}), "4 bars: 3 of groove, then the fill.");
  assert.equal(words({ fillBars: 2 }), "4 bars: 2 of groove, then the fill.");
});

test("groove up to a fill that starts late is told by the beat", () => {
  assert.equal(words({ fillStart: 2, grooveSpans: [[0, 2]] }), "4 bars: groove up to beat 3 of bar 4, then the fill.");
  assert.equal(words({ fillStart: 2.5, grooveSpans: [[0, 2.5]] }), "4 bars: groove up to 3 & of bar 4, then the fill.");
});

test("in meters of eighths it is told by the count", () => {
  const late = { meter: "6/8", bar: 3, fillStart: 2, grooveSpans: /** @type {[number, number][]} */ ([[0, 2]]) };
  assert.equal(words(late), "4 bars: groove up to count 3 of bar 4, then the fill.");
});

test("a phrase whose fill begins on a bar line has whole bars of groove", () => {
  const phrase = { fillBars: 4, fillStart: 12, counts: [{ onset: 12, label: "1", struck: true }] };
  assert.equal(words({ ...phrase, grooveSpans: [[0, 12]] }), "4 bars: 3 of groove, then the fill.");
});

test("a phrase with two fills, and a fill alone, are said so", () => {
  const spans = /** @type {[number, number][]} */ ([[0, 7], [8, 12]]);
  assert.equal(words({ fillBars: 4, fillStart: 7, grooveSpans: spans }), "4 bars: a fill half-way and one at the end.");
  assert.equal(words({ fillStart: 2, grooveSpans: [[0, 2]] }, true), "The fill alone.");
  assert.equal(words({ bars: 1 }), "The fill alone.");
});

test("a tempo counts beats, quarters, and dotted quarters where those are felt", () => {
  const beat = (/** @type {number} */ onset) => ({ onset, number: 1 });
  assert.equal(unitInWords(aBlock(), 80), "beats a minute");
  assert.equal(unitInWords({ ...aBlock(), meter: "7/8", bar: 3.5, beats: [0, 1, 2].map(beat) }, 80), "quarters a minute");
  assert.equal(unitInWords({ ...aBlock(), meter: "6/8", bar: 3, beats: [0, 1.5].map(beat) }, 80), "quarters; dotted 53.3");
});
