// Contexts of sound: how they are opened, and what is said of one that never runs.
import assert from "node:assert/strict";
import test from "node:test";

import { NoSoundError, openContext, running, troubleInWords } from "../../../static/js/player/sounding.js";

test("a context is opened for what is played on purpose, which an iPhone's ring switch does not mute", (t) => {
  t.after(() => Reflect.deleteProperty(navigator, "audioSession"));
  Object.assign(globalThis, { AudioContext: class {} });
  Object.defineProperty(navigator, "audioSession", { configurable: true, value: { type: "auto" } });
  openContext();
  assert.equal(navigator.audioSession?.type, "playback");
});

test("who waits for a context that runs hears so", async () => {
  await running({ state: "suspended", resume: async () => {} });
});

test("one that runs already is not waited for", async () => {
  await running({ state: "running", resume: () => new Promise(() => {}) });
});

test("a context that never runs is given up after three seconds", async (t) => {
  const waits = t.mock.method(globalThis, "setTimeout", (/** @type {() => void} */ act) => act());
  await assert.rejects(running({ state: "suspended", resume: () => new Promise(() => {}) }), NoSoundError);
  assert.equal(waits.mock.calls[0].arguments[1], 3_000);
});

test("a device without sound is told from sounds that did not come", () => {
  assert.match(troubleInWords(new NoSoundError(), "play again"), /gives no sound now.*then play again/);
  assert.match(troubleInWords(new Error("404"), "play again"), /Check the network, then play again/);
});
