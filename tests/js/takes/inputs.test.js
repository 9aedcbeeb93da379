// Strokes of an electronic kit, as they come from a browser's MIDI interface.
import assert from "node:assert/strict";
import test from "node:test";

import { listenToMidi } from "../../../static/js/takes/inputs.js";

/** @typedef {{data: Uint8Array, timeStamp: number}} Message */
/** @typedef {{name: string | null, state: string, onmidimessage: ((message: Message) => void) | null}} Input */

/** @param {Partial<Input>} given @returns {Input} */
const aKit = (given = {}) => ({ name: "Kit", state: "connected", onmidimessage: null, ...given });

/** Plug inputs into the browser. @param {Input[]} inputs */
function plugIn(...inputs) {
  const byId = new Map(inputs.map((input, number) => [String(number), input]));
  const access = { inputs: byId, onstatechange: () => {} };
  Object.assign(navigator, { requestMIDIAccess: async () => access });
  return access;
}

/** @param {Input} kit @param {number[]} bytes */
const send = (kit, bytes, timeStamp = 12.5) => kit.onmidimessage?.({ data: new Uint8Array(bytes), timeStamp });

async function listen() {
  /** @type {unknown[][]} */
  const struck = [];
  await listenToMidi((...stroke) => struck.push(stroke));
  return struck;
}

test("a note on any channel is a stroke with its time, key and velocity", async () => {
  const kit = aKit();
  plugIn(kit);
  const struck = await listen();
  send(kit, [0x99, 38, 90]);
  send(kit, [0x90, 36, 70], 20);
  assert.deepEqual(struck, [[12.5, 38, 90, "web midi"], [20, 36, 70, "web midi"]]);
});

test("a note that ends is no stroke", async () => {
  const kit = aKit();
  plugIn(kit);
  const struck = await listen();
  send(kit, [0x89, 38, 64]);
  assert.deepEqual(struck, []);
});

test("a note without velocity is one that ends", async () => {
  const kit = aKit();
  plugIn(kit);
  const struck = await listen();
  send(kit, [0x99, 38, 0]);
  assert.deepEqual(struck, []);
});

test("a pedal's controller is no stroke", async () => {
  const kit = aKit();
  plugIn(kit);
  const struck = await listen();
  send(kit, [0xb9, 4, 90]);
  assert.deepEqual(struck, []);
});

test("inputs are told by name, and those that are gone are not", async () => {
  plugIn(aKit({ name: "Practice kit" }), aKit({ name: null }), aKit({ name: "Old", state: "disconnected" }));
  assert.deepEqual(await listenToMidi(() => {}), ["Practice kit", "kit"]);
});

test("a kit that is plugged in later is heard and told of", async () => {
  const access = plugIn();
  /** @type {unknown[][]} */
  const struck = [];
  /** @type {string[][]} */
  const told = [];
  await listenToMidi((...stroke) => struck.push(stroke), (names) => told.push(names));
  const late = aKit({ name: "Late" });
  access.inputs.set("9", late);
  access.onstatechange();
  send(late, [0x99, 38, 90]);
  assert.deepEqual(told, [["Late"]]);
  assert.equal(struck.length, 1);
});
