// How late a device is, as it is kept on the device.
import assert from "node:assert/strict";
import test, { beforeEach } from "node:test";

import { forgetLatency, keepLatency, latencyOf, measuredOf } from "../../../static/js/takes/latency.js";

const MEASURED = { latency: 31, spread: 4, strokes: 16 };
/** @type {Map<string, string>} */
const kept = new Map();

/** Keeps what it is given, as a browser's storage does. @param {(place: string, text: string) => void} setItem */
function storageWith(setItem) {
  const getItem = (/** @type {string} */ place) => kept.get(place) ?? null;
  Object.defineProperty(globalThis, "localStorage", { configurable: true, value: { getItem, setItem } });
}

beforeEach(() => {
  kept.clear();
  storageWith((place, text) => kept.set(place, text));
});

test("a device that was not measured has no delay", () => {
  assert.equal(latencyOf("pads"), null);
});

test("what was measured is kept for its way of playing alone", () => {
  keepLatency("web midi", MEASURED);
  assert.equal(latencyOf("web midi"), 31);
  assert.equal(latencyOf("pads"), null);
});

test("what was measured is there with its spread", () => {
  keepLatency("pads", MEASURED);
  assert.deepEqual(measuredOf("pads"), MEASURED);
});

test("measuring one way of playing keeps what was measured of another", () => {
  keepLatency("web midi", { ...MEASURED, latency: 8 });
  keepLatency("pads", MEASURED);
  assert.equal(latencyOf("web midi"), 8);
  assert.equal(latencyOf("pads"), 31);
});

test("what is forgotten leaves the other ways as they were", () => {
  keepLatency("pads", MEASURED);
  keepLatency("web midi", { ...MEASURED, latency: 8 });
  forgetLatency("pads");
  assert.equal(latencyOf("pads"), null);
  assert.equal(latencyOf("web midi"), 8);
});

test("what cannot be read counts as not measured", () => {
  kept.set("device-delay", "{broken");
  assert.equal(latencyOf("pads"), null);
});

test("a browser that keeps nothing is no error", () => {
  storageWith(() => {
    throw new DOMException("full", "QuotaExceededError");
  });
  assert.doesNotThrow(() => keepLatency("pads", MEASURED));
});
