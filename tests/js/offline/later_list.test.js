// The list of what waits beside the log: what replaces what, and what goes in order.
import assert from "node:assert/strict";
import test from "node:test";

import { thingOf, withOne } from "../../../static/js/offline/later_list.js";

const ENTRY = "0f8fad5b-d9cb-469f-a165-70867728950e";
/** @param {Partial<import("../../../static/js/offline/later_list.js").LaterRequest>} given */
const one = (given) => ({ id: "", student: "7", method: /** @type {const} */ ("POST"), address: "/log/", entry: null, ...given });
/** @param {{id: string}[]} all */
const ids = (all) => all.map(({ id }) => id);

test("the same form anew takes the place of the one before, at the end", () => {
  const before = [one({ id: "a" }), one({ id: "b", address: "/takes/" })];
  assert.deepEqual(ids(withOne(before, one({ id: "c" }))), ["b", "c"]);
});

test("one student's form does not replace another's", () => {
  assert.deepEqual(ids(withOne([one({ id: "a", student: "8" })], one({ id: "b" }))), ["a", "b"]);
});

test("two files of one page both stay", () => {
  assert.deepEqual(ids(withOne([one({ id: "a", key: "one" })], one({ id: "b", key: "other" }))), ["a", "b"]);
});

for (const [address, thing] of [
  [`/log/${ENTRY}/remove/`, ENTRY],
  [`/api/practice-entries/${ENTRY}/`, ENTRY],
  [`https://a.studio/log/${ENTRY}/`, ENTRY],
  ["/fills/7/mastered/", "/7/"],
  ["/takes/kit/", "/takes/kit/"],
]) {
  test(`${address} is about ${thing}`, () => assert.equal(thingOf(address), thing));
}
