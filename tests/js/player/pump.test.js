// What is handed to the desk, and when; the grid is the engine's, in exact fractions.
import assert from "node:assert/strict";
import test from "node:test";

import { Pump } from "../../../static/js/player/pump.js";
import { Schedule } from "../../../static/js/player/schedule.js";
import { expected } from "../expected.js";
import { aBlock } from "./playing.js";

/** @typedef {{tempo: number, block: import("../../../static/js/player/schedule.js").Block, grid: [number, number][]}} Exact */
/** @type {Record<string, Exact>} */
const GRIDS = expected("exact_grids.json");
const SAMPLE = 1 / 44_100; // seconds

/** Writes down what it is told to strike, in order. */
class Notebook {
  /** @type {{name: string, dynamic: string, time: number}[]} */
  struck = [];
  /** @type {number[]} */
  cancelled = [];

  /**
   * @param {string} name
   * @param {string} dynamic
   * @param {number} time
   */
  strike(name, dynamic, time) {
    this.struck.push({ name, dynamic, time });
  }

  /**
   * @param {string} name
   * @param {number} pitch
   * @param {number} time
   */
  tone(name, pitch, time) {
    this.struck.push({ name, dynamic: String(pitch), time });
  }

  /** @param {number} time */
  cancel(time) {
    this.cancelled.push(time);
  }
}

/** @param {Partial<import("../../../static/js/player/schedule.js").Settings>} settings */
function aPump(settings = {}, options = {}) {
  const desk = new Notebook();
  const schedule = new Schedule(aBlock(), { tempo: 60, loops: 1, ...settings });
  return { desk, pump: new Pump(schedule, desk, options) };
}

for (const [name, { tempo, block, grid }] of Object.entries(GRIDS)) {
  test(`two loops in ${name} are struck on the exact grid`, () => {
    const desk = new Notebook();
    const pump = new Pump(new Schedule(block, { tempo, loops: 2 }), desk);
    for (let tick = 0; tick * 0.1 < 80; tick += 1) pump.tick(tick * 0.1);
    const struck = [...new Set(desk.struck.map(({ time }) => time))].sort((a, b) => a - b);
    const apart = struck.filter((time, index) => index === 0 || time - struck[index - 1] > SAMPLE / 10);
    const ideal = grid.map(([over, under]) => (over * 60) / (under * tempo));
    assert.equal(apart.length, ideal.length);
    apart.forEach((time, index) => assert.ok(Math.abs(time - ideal[index]) < SAMPLE / 10));
    assert.equal(pump.left, 0);
  });
}

test("what lies beyond the lookahead is not handed over yet", () => {
  const { desk, pump } = aPump({}, { lookahead: 0.5 });
  pump.tick(0);
  pump.tick(0.5);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0]);
  pump.tick(0.6);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0, 1]);
});

test("ticks that come close together hand over nothing twice", () => {
  const { desk, pump } = aPump();
  for (let now = 0; now < 3; now += 0.01) pump.tick(now);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0, 1, 2, 3]);
});

test("a lookahead that becomes shorter hands over nothing twice", () => {
  const { desk, pump } = aPump({}, { lookahead: 2.5 }); // as on a hidden page
  pump.tick(0);
  pump.lookahead = 0.25;
  for (let now = 0.1; now < 3; now += 0.1) pump.tick(now);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0, 1, 2, 3]);
});

test("a stroke that would be heard late is left out and counted", () => {
  const { desk, pump } = aPump();
  pump.tick(0);
  pump.tick(2.5);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0]);
  assert.equal(pump.left, 2);
});

test("a stroke that is late by less than is heard is still struck", () => {
  const { desk, pump } = aPump();
  pump.tick(0.005);
  assert.deepEqual(desk.struck.map(({ time }) => time), [0]);
});

test("cues wait until their time has come and are given once", () => {
  const { pump } = aPump({}, { lookahead: 2 });
  pump.tick(0);
  assert.deepEqual(pump.due(0).map(({ type }) => type), ["bar", "beat"]);
  assert.deepEqual(pump.due(0.9), []);
  assert.deepEqual(pump.due(1).map(({ type, time }) => [type, time]), [["beat", 1]]);
});

test("what stands on the time of a swap is shown once, by the schedule that takes over", () => {
  const { pump } = aPump({}, { lookahead: 4 });
  pump.tick(0);
  pump.swap(pump.schedule.changed({ tempo: 60 }, 2), 2);
  pump.tick(2);
  const beats = pump.due(4).filter(({ type }) => type === "beat").map(({ time }) => time);
  assert.deepEqual(beats, [...new Set(beats)]);
  assert.ok(beats.includes(2));
});

test("another schedule takes over at its time, and what was queued for later is taken back", () => {
  const { desk, pump } = aPump({}, { lookahead: 4 });
  pump.tick(0);
  pump.swap(pump.schedule.changed({ tempo: 120 }, 1.5), 1.5);
  assert.deepEqual(desk.cancelled, [1.5]);
  assert.equal(pump.due(4).at(-1)?.time, 1);
  desk.struck = [];
  pump.tick(1.5);
  assert.deepEqual(desk.struck.map(({ time }) => time).slice(0, 2), [1.75, 2.25]);
});
