// Practice that saves itself: one entry that grows, once, with a network and without.
import assert from "node:assert/strict";
import test, { afterEach, beforeEach, mock } from "node:test";

import * as store from "../../../static/js/offline/store.js";
import { emptyStore } from "../offline/entries.js";
import { LogServer } from "../offline/log_server.js";
import { device } from "../offline/student_page.js";

/** @type {Map<string, string>} */
const noted = new Map();
Object.defineProperty(globalThis, "localStorage", {
  configurable: true,
  value: {
    /** @param {string} name */
    getItem: (name) => noted.get(name) ?? null,
    /** @param {string} name @param {string} value */
    setItem: (name, value) => noted.set(name, value),
  },
});

const queue = await import("../../../static/js/offline/queue.js");
const { KeptPractice } = await import("../../../static/js/practice/kept_practice.js");

/** @typedef {import("../../../static/js/practice/kept_practice.js").KeptLine} KeptLine */

let server = new LogServer();
/** @type {KeptLine[]} */
let lines = [];

beforeEach(async () => {
  await emptyStore();
  noted.clear();
  server = new LogServer();
  Object.assign(device.dataset, await server.open());
  Object.assign(navigator, { onLine: true });
  lines = [];
});
afterEach(async () => {
  await queue.send();
  await server.close();
});

function aPractice() {
  const kept = new KeptPractice({ variation: 7, name: "2, Down the toms" });
  kept.on("line", (line) => lines.push(line));
  return kept;
}

/** Until all that was told is on the device and was tried to be sent. */
async function settled() {
  for (let turn = 0; turn < 5; turn += 1) {
    await new Promise((done) => setTimeout(done, 5));
    await queue.send();
  }
}

const logged = () => [...server.logged.values()];
const last = () => lines.at(-1)?.text;

test("what was counted is logged and said in one line", async () => {
  aPractice().played({ loops: 3, seconds: 121, tempo: 88 });
  await settled();
  const [{ minutes, tempo, loops, seconds, variation }] = logged();
  assert.deepEqual([minutes, tempo, loops, seconds, variation], [2, 88, 3, 121, 7]);
  assert.deepEqual(lines.at(-1), { text: "Saved: 2 min at 88, 3 times through.", state: "saved", undo: true });
});

test("play, pause, play on is one entry that grows", async () => {
  const kept = aPractice();
  for (const loops of [1, 2, 5]) {
    kept.played({ loops, seconds: 20 * loops, tempo: 88 });
    await settled();
  }
  assert.deepEqual(logged().map(({ loops }) => loops), [5]);
});

test("a stop that is told twice counts once", async () => {
  const kept = aPractice();
  kept.played({ loops: 1, seconds: 20, tempo: 88 });
  kept.played({ loops: 1, seconds: 20, tempo: 88 });
  await settled();
  assert.deepEqual(logged().map(({ loops, seconds }) => [loops, seconds]), [[1, 20]]);
});

test("eight seconds without a time through are not saved", async () => {
  aPractice().played({ loops: 0, seconds: 8, tempo: 88 });
  await settled();
  assert.deepEqual([logged(), last()], [[], "Not saved: 8 seconds."]);
});

test("a short time through is saved", async () => {
  aPractice().played({ loops: 1, seconds: 8, tempo: 88 });
  await settled();
  assert.equal(last(), "Saved: 8 seconds at 88, once through.");
});

test("while it is played it is kept, and not sent yet", async () => {
  const kept = aPractice();
  kept.played({ loops: 1, seconds: 20, tempo: 88, playing: true });
  await new Promise((done) => setTimeout(done, 20));
  assert.deepEqual((await store.all()).map(({ fields }) => fields.loops), [1]);
  assert.deepEqual([server.bodies, lines], [[], []]);
});

test("what a page had no time to keep is in the journal before `played` returns", () => {
  aPractice().played({ loops: 1, seconds: 20, tempo: 88 });
  const [entry] = Object.values(JSON.parse(localStorage.getItem("fillwright-counting") ?? "{}"));
  assert.equal(entry.fields.loops, 1);
});

test("what grows while it is on its way is sent as well", async () => {
  const kept = aPractice();
  server.insteadOfLogging = async () => {
    server.insteadOfLogging = () => null;
    kept.played({ loops: 2, seconds: 40, tempo: 88 });
    await new Promise((done) => setTimeout(done, 20));
    return null;
  };
  kept.played({ loops: 1, seconds: 20, tempo: 88 });
  await settled();
  assert.deepEqual(logged().map(({ loops }) => loops), [2]);
  assert.deepEqual(await store.all(), []);
});

test("without a network it waits on the device, and says so", async () => {
  Object.assign(navigator, { onLine: false });
  aPractice().played({ loops: 2, seconds: 40, tempo: 88 });
  await settled();
  assert.equal(last(), "Saved on this phone, sent later: 40 seconds at 88, 2 times through.");
});

test("the line says when what waited was sent", async () => {
  Object.assign(navigator, { onLine: false });
  aPractice().played({ loops: 2, seconds: 40, tempo: 88 });
  await settled();
  Object.assign(navigator, { onLine: true });
  await settled();
  assert.equal(last(), "Saved: 40 seconds at 88, 2 times through.");
});

test("an answer amends the same entry, and a second one takes its place", async () => {
  const kept = aPractice();
  kept.played({ loops: 4, seconds: 60, tempo: 88 });
  kept.answer({ clean_loops: 4 });
  await settled();
  kept.answer({ clean_loops: 2, felt: "sore" });
  await settled();
  const said = logged().map(({ clean_loops, felt, answered }) => [clean_loops, felt, answered]);
  assert.deepEqual(said, [[2, "sore", 2]]);
});

test("a note to the teacher is of the same entry, and stays when more is said", async () => {
  const kept = aPractice();
  kept.played({ loops: 4, seconds: 60, tempo: 88 });
  kept.answer({ clean_loops: 2, note: "The last beat rushes." });
  await settled();
  kept.answer({ clean_loops: 3 });
  await settled();
  const said = logged().map(({ clean_loops, note, answered }) => [clean_loops, note, answered]);
  assert.deepEqual(said, [[3, "The last beat rushes.", 2]]);
});

test("a note said without a network takes the place of the one before, and is sent with it", async () => {
  const kept = aPractice();
  Object.assign(navigator, { onLine: false });
  kept.played({ loops: 4, seconds: 60, tempo: 88 });
  kept.answer({ note: "The last beat rushes." });
  await settled();
  kept.answer({ note: "It is the third beat." });
  await settled();
  assert.deepEqual(logged(), []);
  Object.assign(navigator, { onLine: true });
  await settled();
  assert.deepEqual(logged().map(({ note, loops }) => [note, loops]), [["It is the third beat.", 4]]);
});

test("more clean ones than there were are not told", async () => {
  const kept = aPractice();
  kept.played({ loops: 2, seconds: 60, tempo: 88 });
  kept.answer({ clean_loops: 9 });
  await settled();
  assert.equal(logged()[0].clean_loops, 2);
});

test("what is played after it was said how it came out is an entry of its own", async () => {
  const kept = aPractice();
  kept.played({ loops: 4, seconds: 60, tempo: 88 });
  kept.answer({ clean_loops: 4 });
  kept.played({ loops: 6, seconds: 90, tempo: 92 });
  await settled();
  assert.deepEqual(logged().map(({ loops, seconds, clean_loops }) => [loops, seconds, clean_loops]), [[4, 60, 4], [2, 30, null]]);
});

test("after half an hour without a sound another entry begins", async () => {
  const kept = aPractice();
  kept.played({ loops: 1, seconds: 20, tempo: 88 });
  const later = Date.now() + 31 * 60_000;
  mock.method(Date, "now", () => later);
  kept.played({ loops: 2, seconds: 40, tempo: 88 });
  mock.restoreAll();
  await settled();
  assert.deepEqual(logged().map(({ loops }) => loops), [1, 1]);
});

test("Undo takes off the device what was not sent", async () => {
  Object.assign(navigator, { onLine: false });
  const kept = aPractice();
  kept.played({ loops: 2, seconds: 40, tempo: 88 });
  kept.played({ loops: 3, seconds: 60, tempo: 88 });
  await settled();
  await kept.undo();
  assert.deepEqual([await store.all(), last()], [[], "Removed: 1 min at 88, 3 times through."]);
  Object.assign(navigator, { onLine: true });
  await settled();
  assert.deepEqual(logged(), []);
});

test("Undo of what may be on the server is sent after it, once", async () => {
  const kept = aPractice();
  kept.played({ loops: 2, seconds: 40, tempo: 88 });
  await settled();
  await kept.undo();
  await kept.undo();
  await settled();
  assert.deepEqual(server.bodies.map((body) => JSON.parse(body).undone), [false, true]);
});

test("what is played after Undo is an entry of its own, without what was undone", async () => {
  const kept = aPractice();
  kept.played({ loops: 2, seconds: 40, tempo: 88 });
  await settled();
  await kept.undo();
  kept.played({ loops: 5, seconds: 100, tempo: 88 });
  await settled();
  assert.deepEqual(logged().map(({ loops, undone }) => [loops, undone]), [[2, true], [3, false]]);
});

test("a player that has forgotten its counts begins anew", async () => {
  const kept = aPractice();
  kept.played({ loops: 2, seconds: 40, tempo: 88 });
  kept.begin();
  kept.played({ loops: 1, seconds: 20, tempo: 80 });
  await settled();
  assert.deepEqual(logged().map(({ loops, tempo }) => [loops, tempo]), [[2, 88], [1, 80]]);
});

test("a tempo slower than the log knows is not told", async () => {
  aPractice().played({ loops: 2, seconds: 40, tempo: 20 });
  await settled();
  assert.equal(logged()[0].tempo, null);
});

test("what the server does not take is said with its reason", async () => {
  server.insteadOfLogging = () => ({ status: 400, body: { day: [{ code: "future", message: "This day has not come yet." }] } });
  aPractice().played({ loops: 2, seconds: 40, tempo: 88 });
  await settled();
  assert.equal(last(), "Not saved: 40 seconds at 88, 2 times through. This day has not come yet.");
});
