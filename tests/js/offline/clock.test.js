// Which day it is for a student: the page's own reckoning against Python's time zones.
import assert from "node:assert/strict";
import test from "node:test";

import { dayIn, whenMade } from "../../../static/js/offline/clock.js";
import { expected } from "../expected.js";

/** @typedef {{from: number, to: number, days: Record<string, [number, string][]>}} Change */
/** @type {{zones: string[], anytime: [number, ...string[]][], changes: Change[]}} */
const DAYS = expected("days_in_zones.json");
const QUARTER = 15 * 60; // seconds
const NOW = 1_800_000_000_000;
const DAY = 86_400_000;

DAYS.zones.forEach((zone, number) => {
  test(`a day in ${zone} is the one that Python's time zones say`, () => {
    for (const [seconds, ...days] of DAYS.anytime) assert.equal(dayIn(zone, seconds * 1000), days[number]);
  });

  test(`a day in ${zone} is that one at every quarter of an hour around a change of clocks`, () => {
    for (const { from, to, days } of DAYS.changes) {
      for (let at = from; at <= to; at += QUARTER) {
        const day = days[zone].findLast(([start]) => start <= at)?.[1];
        assert.equal(dayIn(zone, at * 1000), day);
      }
    }
  });
});

/** @type {[string, number, number | null, number, number][]} */
const MADE = [
  ["a right clock is believed", NOW - DAY, null, NOW, NOW - DAY],
  ["a clock that is ahead is set right", NOW + 3 * DAY, null, NOW + 4 * DAY, NOW - DAY],
  ["a clock that is behind is set right", NOW - 9 * DAY, null, NOW - 8 * DAY, NOW - DAY],
  ["a clock that was ahead, set right since, makes it now at the latest", NOW + 3 * DAY, null, NOW, NOW],
  [
    "a clock that was behind, set right since, makes it when the server was heard of at the earliest",
    NOW - 400 * DAY,
    NOW - DAY,
    NOW,
    NOW - DAY,
  ],
];
for (const [name, made, seen, here, when] of MADE) {
  test(name, () => assert.equal(whenMade({ made, seen }, here, NOW), when));
}
