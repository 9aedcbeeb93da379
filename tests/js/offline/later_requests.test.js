// What is said of practice after it was logged: kept until the server has it.
import assert from "node:assert/strict";
import test, { afterEach, beforeEach, mock } from "node:test";

import { emptyStore } from "./entries.js";
import { LogServer } from "./log_server.js";
import { device } from "./student_page.js";

/** @type {Map<string, string>} */
const kept = new Map();
Object.defineProperty(globalThis, "localStorage", {
  value: {
    getItem: (/** @type {string} */ place) => kept.get(place) ?? null,
    setItem: (/** @type {string} */ place, /** @type {string} */ text) => kept.set(place, text),
  },
});
const { master, sayOf, sendTake, waiting: waits } = await import("../../../static/js/offline/later_requests.js");

const AGAIN = 15_000; // milliseconds until the next try
let server = new LogServer();
/** @type {(() => Promise<void>)[]} */
let tries = []; // what is to be done later

beforeEach(async () => {
  kept.clear();
  await emptyStore();
  server = new LogServer();
  const { device: address, entries } = await server.open();
  Object.assign(device.dataset, { device: address, entries: `${entries}/` });
  tries = [];
  const really = globalThis.setTimeout;
  mock.method(globalThis, "setTimeout", (/** @type {() => Promise<void>} */ act, /** @type {number} */ delay) => {
    if (delay !== AGAIN) return really(act, delay);
    tries.push(act); // the test itself says when
    return undefined;
  });
});
afterEach(async () => {
  mock.restoreAll();
  await server.close();
});

const waiting = () => JSON.parse(kept.get("fillwright-afterwards") ?? "[]");

test("what the server has is no longer kept", async () => {
  assert.equal(await sayOf("an-id", { clean_loops: 3 }), 201);
  assert.deepEqual(server.bodies, ['{"clean_loops":3}']);
  assert.deepEqual(waiting(), []);
});

for (const status of [401, 403, 500, 503]) {
  test(`what is answered by ${status} waits, and is sent again`, async () => {
    server.insteadOfLogging = () => ({ status, body: {} });
    assert.equal(await sayOf("an-id", { clean_loops: 3 }), null);
    assert.equal(waiting().length, 1);
    server.insteadOfLogging = () => null;
    await tries[0]();
    assert.deepEqual(waiting(), []);
  });
}

for (const status of [400, 404, 409]) {
  test(`what is refused by ${status} is let go`, async () => {
    server.insteadOfLogging = () => ({ status, body: {} });
    assert.equal(await sayOf("an-id", { clean_loops: 3 }), status);
    assert.deepEqual(waiting(), []);
    assert.deepEqual(tries, []);
  });
}

test("of what is said twice only the last is sent", async () => {
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  await sayOf("an-id", { clean_loops: 3 });
  await sayOf("an-id", { clean_loops: 4 });
  server.insteadOfLogging = () => null;
  await tries[0]();
  assert.deepEqual(server.bodies.at(-1), '{"clean_loops":4}');
  assert.equal(server.bodies.length, 3);
});

test("two takes of one page both wait", async () => {
  server.insteadOfLogging = () => ({ status: 503, body: {} });
  for (const id of ["one", "another"]) {
    assert.deepEqual(await sendTake(device.dataset.entries, { id }), { answer: null, isKept: true });
  }
  await sayOf("an-id", { clean_loops: 3 });
  assert.deepEqual(waits(), { takes: 2, changes: 1 });
});

test("a take that the server has says where it is, and is no longer kept", async () => {
  const { answer, isKept } = await sendTake(device.dataset.entries, { id: "one" });
  assert.deepEqual([answer?.status, answer?.body.id, isKept], [201, "one", false]);
});

test("a press has one id in all its tries", async () => {
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  await master(device.dataset.entries);
  server.insteadOfLogging = () => null;
  await tries[0]();
  const [first, second] = server.bodies.map((body) => JSON.parse(body).id);
  assert.match(first, /^[\da-f-]{36}$/);
  assert.equal(second, first);
});

test("who waits for a server that hangs hears after a moment that it is kept", async () => {
  const really = globalThis.setTimeout;
  const hurried = (/** @type {() => void} */ act, /** @type {number} */ delay, /** @type {unknown[]} */ ...more) =>
    really(act, delay === 4_000 ? 40 : delay, ...more);
  mock.method(globalThis, "setTimeout", hurried);
  /** @type {(answer: null) => void} */
  let answers = () => {};
  server.insteadOfLogging = () => new Promise((resolve) => (answers = resolve));
  assert.equal(await sayOf("an-id", { clean_loops: 3 }), null);
  assert.equal(waiting().length, 1);
  answers(null);
});

test("another student's word waits until they are back", async () => {
  server.student = 8;
  assert.equal(await sayOf("an-id", { clean_loops: 3 }), null);
  assert.deepEqual(server.bodies, []);
  assert.equal(waiting().length, 1);
});
