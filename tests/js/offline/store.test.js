// What is kept on the device: nothing is written over, nothing goes that may be logged.
import assert from "node:assert/strict";
import test, { beforeEach } from "node:test";

import * as store from "../../../static/js/offline/store.js";
import { anEntry, emptyStore, keptIds } from "./entries.js";

const REFUSED = { minutes: [{ code: "max_value", message: "Too many." }] };

beforeEach(emptyStore);

test("a new entry is kept under its id", async () => {
  assert.equal(await store.takeIn(anEntry("a"), "other"), "a");
  assert.deepEqual(await store.find("a"), anEntry("a"));
});

test("an entry whose id is in use gets another one", async () => {
  await store.takeIn(anEntry("a", { said: "first" }), "other");
  assert.equal(await store.takeIn(anEntry("a", { said: "second" }), "other"), "other");
  assert.equal((await store.find("a"))?.said, "first");
  assert.equal((await store.find("other"))?.said, "second");
});

test("an entry that was refused is replaced by what it says now", async () => {
  await store.keep(anEntry("a", { sent: "{}", refused: REFUSED }));
  assert.equal(await store.takeIn(anEntry("a", { said: "put right" }), "other"), "a");
  assert.deepEqual(await store.all(), [anEntry("a", { said: "put right" })]);
});

test("entries come in the order in which they were logged", async () => {
  await store.keep(anEntry("a", { made: 3 }));
  await store.keep(anEntry("b", { made: 1 }));
  await store.keep(anEntry("c", { made: 2 }));
  assert.deepEqual(await keptIds(), ["b", "c", "a"]);
});

test("an entry takes the place of the one that had the id before", async () => {
  await store.keep(anEntry("a"));
  await store.replace("a", anEntry("b"));
  assert.deepEqual(await keptIds(), ["b"]);
});

test("an entry that was never sent can be dropped", async () => {
  await store.keep(anEntry("a"));
  assert.equal(await store.dropUnsent("a"), true);
  assert.deepEqual(await keptIds(), []);
});

test("an entry that may be on the server cannot be dropped", async () => {
  await store.keep(anEntry("a", { sent: "{}" }));
  assert.equal(await store.dropUnsent("a"), false);
  assert.deepEqual(await keptIds(), ["a"]);
});

test("an entry that the server refused can be dropped", async () => {
  await store.keep(anEntry("a", { sent: "{}", refused: REFUSED }));
  assert.equal(await store.dropUnsent("a"), true);
});

test("an entry that is not there is not dropped", async () => {
  assert.equal(await store.dropUnsent("nowhere"), false);
});

test("a fact is kept until another one takes its place", async () => {
  await store.keepFact("seen", 1);
  await store.keepFact("seen", 2);
  assert.equal(await store.fact("seen"), 2);
});
