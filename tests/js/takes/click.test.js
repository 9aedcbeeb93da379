// When a click is heard, by the clock that strokes carry.
import assert from "node:assert/strict";
import test from "node:test";

import { pageTime } from "../../../static/js/takes/click.js";

const NEAR = 5; // milliseconds that pass in between

/** @param {number} wanted @param {number} found */
const near = (wanted, found) => assert.ok(Math.abs(wanted - found) < NEAR, `${found} for ${wanted}`);

test("a browser's own word for when it sounds is taken", () => {
  const now = performance.now();
  const context = { currentTime: 12.1, getOutputTimestamp: () => ({ contextTime: 12, performanceTime: now - 150 }) };
  near(now - 150 + 500, pageTime(context, 12.5));
});

test("a word that lies in the future, as WebKitGTK has it, is not", () => {
  const now = performance.now();
  const context = { currentTime: 12, getOutputTimestamp: () => ({ contextTime: 12, performanceTime: now + 12_000 }) };
  near(now + 500, pageTime(context, 12.5));
});

test("nor is one that is long past", () => {
  const now = performance.now();
  const context = { currentTime: 12, getOutputTimestamp: () => ({ contextTime: 0, performanceTime: now - 9_000 }) };
  near(now + 500, pageTime(context, 12.5));
});
