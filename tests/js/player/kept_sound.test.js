// How it sounds is kept on the device, whatever else is found in its place.
import assert from "node:assert/strict";
import test, { beforeEach } from "node:test";

import { keepSound, keptSound, USUAL_SOUND } from "../../../static/js/player/kept_sound.js";
import { partLevel, rounded, volumeLevel } from "../../../static/js/player/levels.js";

const PLACE = "fillwright-sound";
/** @type {Map<string, string>} */
const shelf = new Map();
let isFull = false;
Reflect.set(globalThis, "localStorage", {
  getItem: (/** @type {string} */ name) => shelf.get(name) ?? null,
  setItem: (/** @type {string} */ name, /** @type {string} */ value) => {
    if (isFull) throw new Error("No room.");
    shelf.set(name, value);
  },
});

beforeEach(() => {
  shelf.clear();
  isFull = false;
});

test("what was never chosen is as usual", () => {
  assert.deepEqual(keptSound(), { ...USUAL_SOUND });
});

test("what is chosen is kept, and the rest stays", () => {
  keepSound({ clickLevel: 3 });
  keepSound({ voice: true, output: "phone" });
  assert.deepEqual(keptSound(), { ...USUAL_SOUND, clickLevel: 3, voice: true, output: "phone" });
});

for (const damaged of ["", "{", "null", "7", "[]", '"loud"', '{"volume": "loud", "voice": 1, "click": "never"}', '{"volume": 99}']) {
  test(`damaged content is as good as none: ${damaged}`, () => {
    shelf.set(PLACE, damaged);
    assert.deepEqual(keptSound(), { ...USUAL_SOUND });
  });
}

test("what is sound beside what is not is kept", () => {
  shelf.set(PLACE, '{"volume": 4, "gaps": "sometimes", "tempo": 200}');
  assert.deepEqual(keptSound(), { ...USUAL_SOUND, volume: 4 });
});

test("without room it is heard all the same", () => {
  isFull = true;
  keepSound({ volume: 2 });
  assert.equal(keptSound().volume, USUAL_SOUND.volume);
});

test("a level of 0 is silence, and higher ones are louder", () => {
  assert.equal(volumeLevel({ volume: 0 }), 0);
  assert.equal(partLevel("fill", { fillLevel: 0 }), 0);
  const levels = Array.from({ length: 11 }, (_, level) => partLevel("click", { clickLevel: level }));
  assert.ok(levels.every((level, place) => place === 0 || level > levels[place - 1]));
});

test("peaks are rounded off below full scale, and what is soft passes as it is", () => {
  assert.equal(rounded(0.1), 0.1);
  assert.equal(rounded(-0.1), -0.1);
  for (const sample of [0.5, 1, 4, 100]) {
    assert.ok(rounded(sample) < 0.9);
    assert.equal(rounded(-sample), -rounded(sample));
  }
});
