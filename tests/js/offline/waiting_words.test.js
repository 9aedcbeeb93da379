// What waits, in words.
import assert from "node:assert/strict";
import test from "node:test";

import { inWords, total } from "../../../static/js/offline/waiting_words.js";

for (const { waiting, words } of [
  { waiting: {}, words: "" },
  { waiting: { entries: 1 }, words: "1 entry" },
  { waiting: { entries: 2, takes: 1 }, words: "2 entries and 1 take" },
  { waiting: { entries: 1200, takes: 2, changes: 1 }, words: "1,200 entries, 2 takes and 1 change" },
]) {
  test(`“${words}” is what waits`, () => {
    assert.equal(inWords(waiting), words);
  });
}

test("the total is of all kinds", () => {
  assert.equal(total({ entries: 1, takes: 2, changes: 3 }), 6);
});
