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
const { master, refused, sayOf, sendForm, sendTake, takeOff, tryAgain, waiting: waits } = await import("../../../static/js/offline/later_requests.js");

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

const FORM = { fields: /** @type {[string, string][]} */ ([["minutes", "7"]]), said: "5 min, changed", page: "/log/" };
const thing = (/** @type {string} */ name) => `${device.dataset.entries}${name}`;
const said = () => server.bodies.map((body) => JSON.parse(body).clean_loops);

test("what is too much for now waits for as long as the server says", async () => {
  const really = globalThis.setTimeout;
  /** @type {number[]} */
  const delays = [];
  mock.method(globalThis, "setTimeout", (/** @type {() => Promise<void>} */ act, /** @type {number} */ delay) => {
    delays.push(delay);
    return delay === 60_000 ? undefined : really(act, delay);
  });
  server.insteadOfLogging = () => ({ status: 429, body: {} });
  assert.deepEqual(await sendTake(device.dataset.entries, { id: "one" }), { answer: null, isKept: true });
  assert.equal(delays.at(-1), 60_000);
});

test("one that is to wait for long does not keep the others waiting", async () => {
  /** @type {number[]} */
  const pending = [];
  const [really, clear] = [globalThis.setTimeout, globalThis.clearTimeout];
  mock.method(globalThis, "setTimeout", (/** @type {() => void} */ act, /** @type {number} */ delay) =>
    delay < AGAIN || delay === 20_000 ? really(act, delay) : pending.push(delay));
  mock.method(globalThis, "clearTimeout", (/** @type {any} */ which) =>
    typeof which === "number" ? delete pending[which - 1] : clear(which));
  server.insteadOfLogging = ({ clean_loops }) => ({ status: clean_loops === 1 ? 500 : 429, body: {} });
  await sayOf("/1/", { clean_loops: 1 });
  await sayOf("/2/", { clean_loops: 2 });
  assert.deepEqual(Object.values(pending), [AGAIN]);
});

test("what is done to one thing arrives in the order in which it was done", async () => {
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  await sayOf("/1/", { clean_loops: 1 });
  await master(thing("/1/mastered/"));
  assert.equal(server.bodies.length, 2, "the second waits for the first");
  server.insteadOfLogging = () => null;
  await tries[0]();
  assert.deepEqual(said().slice(2), [1, undefined]);
});

test("one thing that is held up does not hold up another", async () => {
  server.insteadOfLogging = ({ clean_loops }) => (clean_loops === 1 ? { status: 500, body: {} } : null);
  await sayOf("/1/", { clean_loops: 1 });
  assert.equal(await sayOf("/2/", { clean_loops: 2 }), 201);
  assert.equal(waiting().length, 1);
});

test("what is refused when nobody waits for it any more stays, with the reason", async () => {
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  await sayOf("an-id", { clean_loops: 3 });
  server.insteadOfLogging = () => ({ status: 409, body: { id: [{ message: "Too late." }] } });
  await tries[0]();
  assert.deepEqual(waiting().map((/** @type {{refused: string[]}} */ one) => one.refused), [["Too late."]]);
  assert.deepEqual([waits(), refused()], [{ takes: 0, changes: 0 }, { takes: 0, changes: 1 }]);
});

test("what was refused is sent again where the student says so, and not before", async () => {
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  await sayOf("an-id", { clean_loops: 3 });
  server.insteadOfLogging = () => ({ status: 404, body: {} });
  await tries[0]();
  const [{ id }] = waiting();
  server.insteadOfLogging = () => null;
  const before = server.bodies.length;
  await tries[0]();
  assert.equal(server.bodies.length, before);
  await tryAgain(id);
  assert.deepEqual(waiting(), []);
});

test("what was never sent can be taken off; what may have arrived cannot", async () => {
  server.insteadOfDevice = { status: 503, body: {} };
  const { id } = await sendForm({ ...FORM, address: thing("/1/") });
  assert.equal(takeOff(id), true);
  server.insteadOfDevice = null;
  server.insteadOfLogging = () => ({ status: 500, body: {} });
  const other = await sendForm({ ...FORM, address: thing("/1/") });
  assert.equal(takeOff(other.id), false);
  assert.equal(waiting().length, 1);
});

test("what is taken off while we ask who is signed in is not sent", async () => {
  server.insteadOfDevice = { status: 503, body: {} };
  const { id } = await sendForm({ ...FORM, address: thing("/1/") });
  const asked = () => void takeOff(id);
  Object.defineProperty(server, "insteadOfDevice", { get: asked });
  await tries[0]();
  assert.deepEqual([server.asked, server.forms], [2, []]);
});

for (const [what, answer] of /** @type {[string, object][]} */ ([
  ["another page than the site's", { status: 200, body: "<p>Welcome to our hotel</p>" }],
  ["a page to sign in", { status: 302, body: "" }],
])) {
  test(`a form that is answered by ${what} waits`, async () => {
    server.insteadOfForm = /** @type {import("./log_server.js").Answer} */ (answer);
    const { answer: told, isKept } = await sendForm({ ...FORM, address: thing("/1/") });
    assert.deepEqual([told, isKept], [null, true]);
  });
}

test("a form carries its id, whose it is and what was typed", async () => {
  server.insteadOfForm = { status: 200, body: { to: "/log/" } };
  const { id, answer, isKept } = await sendForm({ ...FORM, address: thing("/1/") });
  assert.deepEqual([answer?.body.to, isKept], ["/log/", false]);
  assert.deepEqual(server.forms.map(({ headers }) => [headers["x-form-id"], headers["x-form-student"]]), [[id, "7"]]);
  assert.match(server.forms[0].body, /name="minutes"\r\n\r\n7\r\n/);
});

test("where this device has no room, a form is sent once and said not to be kept", async () => {
  mock.method(localStorage, "setItem", () => {
    throw new Error("QuotaExceededError");
  });
  server.insteadOfForm = { status: 503, body: {} };
  const { answer, isKept } = await sendForm({ ...FORM, address: thing("/1/") });
  assert.deepEqual([answer, isKept, server.forms.length], [null, false, 1]);
});
