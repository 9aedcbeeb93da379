// A day's plan goes on by itself, and what was played of each item counts once.
import assert from "node:assert/strict";
import test from "node:test";

globalThis.addEventListener ??= () => {}; // a page that is left; there is none here
const { Run } = await import("../../../static/js/stage/practice_run.js");

/** Plays nothing; counts what it is told was played. */
class QuietPlayer extends EventTarget {
  state = "stopped";
  played = { loops: 0, seconds: 0, tempo: null };

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
    this.played = { loops: 0, seconds: 0, tempo: null };
  }
}

/** @param {number} number of items */
function runOf(number) {
  const player = new QuietPlayer();
  const items = Array.from({ length: number }, (_, index) => ({ variation: index, block: 1, tempo: 80, done: false }));
  const run = new Run(/** @type {any} */ (player), /** @type {any} */ ({ items, blocks: { 1: {} } }));
  return { player, run };
}

/**
 * @param {number} seconds of the first item that are played before it is skipped
 * @param {number} loops
 */
function toldAfter(seconds, loops) {
  const { player, run } = runOf(2);
  /** @type {number[]} */
  const told = [];
  run.on("played", (played) => told.push(played.seconds));
  run.toggle();
  player.played = { loops, seconds, tempo: null };
  run.skip();
  player.forget();
  run.finish();
  return { told, tried: run.tried, done: run.items[0].done };
}

test("under twenty seconds and not once through is a try", () => {
  assert.deepEqual(toldAfter(8, 0), { told: [8], tried: 8, done: false });
});

test("a whole time through is practice, however short", () => {
  assert.deepEqual(toldAfter(8, 1), { told: [8], tried: 0, done: true });
});

test("back goes to the item before, and from the first one nowhere", () => {
  const { run } = runOf(2);
  run.skip();
  assert.equal(run.index, 1);
  run.back();
  run.back();
  assert.equal(run.index, 0);
});

test("a run that is over begins again with what was not played", () => {
  const { player, run } = runOf(3);
  run.toggle();
  player.played = { loops: 1, seconds: 8, tempo: null };
  run.skip();
  player.forget();
  run.finish();
  run.again();
  assert.deepEqual([run.index, run.state], [1, "playing"]);
});
