// A day's plan goes on by itself, and what was played of each item counts once.
import assert from "node:assert/strict";
import test from "node:test";

globalThis.addEventListener ??= () => {}; // a page that is left; there is none here
const { Run } = await import("../../../static/js/today/practice_run.js");

/** Plays nothing; counts what it is told was played. */
class QuietPlayer extends EventTarget {
  state = "stopped";
  played = { loops: 0, seconds: 0 };

  /**
   * @param {string} type
   * @param {(detail: {state: string}) => void} handle
   */
  on(type, handle) {
    this.addEventListener(type, () => handle({ state: this.state }));
  }

  load() {}
  start() {}
  stop() {}
  pause() {}
  forget() {
    this.played = { loops: 0, seconds: 0 };
  }
}

/** @param {number} seconds of the first item that are played before it is skipped */
function loggedAfter(seconds) {
  const player = new QuietPlayer();
  const items = [1, 2].map((variation) => ({ variation, block: 1, done: false }));
  const run = new Run(/** @type {any} */ (player), /** @type {any} */ ({ items, blocks: { 1: {} } }));
  /** @type {number[]} */
  const logged = [];
  run.on("played", (played) => logged.push(played.seconds));
  run.toggle();
  player.played = { loops: 1, seconds };
  run.skip();
  run.finish();
  return logged;
}

test("an item that was broken off at once is not logged", () => {
  assert.deepEqual(loggedAfter(5), []);
});

test("what was played of an item that is skipped is logged once", () => {
  assert.deepEqual(loggedAfter(40).slice(0, 1), [40]);
});
