// Logging from a page: kept first, then sent, and tried again.
import assert from "node:assert/strict";
import test, { afterEach, beforeEach, mock } from "node:test";

import * as store from "../../../static/js/offline/store.js";
import { anEntry, emptyStore, keptIds } from "./entries.js";
import { LogServer } from "./log_server.js";
import { device } from "./student_page.js";

const REFUSAL = { minutes: [{ code: "max_value", message: "Too many." }] };

const queue = await import("../../../static/js/offline/queue.js");

let server = new LogServer();
/** @type {number[]} */
let delays = []; // until the next try, in milliseconds

beforeEach(async () => {
  await emptyStore();
  server = new LogServer();
  Object.assign(device.dataset, await server.open());
  Object.assign(navigator, { onLine: true });
  delays = [];
  const really = globalThis.setTimeout;
  mock.method(globalThis, "setTimeout", (/** @type {() => void} */ act, /** @type {number} */ delay) => {
    if (act !== queue.send) return really(act, delay);
    delays.push(delay); // the test itself says when
    return undefined;
  });
});
afterEach(async () => {
  await queue.send();
  mock.restoreAll();
  await server.close();
});

test("the queue is usable where the page names a student and the browser keeps things", () => {
  assert.equal(queue.isUsable, true);
});

test("what is logged is on the device before anything is sent", async () => {
  Object.assign(navigator, { onLine: false });
  const { id } = await queue.logPractice({ minutes: "5" }, "Line 4");
  const entry = await store.find(id);
  assert.deepEqual([entry?.student, entry?.fields, entry?.said, entry?.page], [7, { minutes: "5" }, "Line 4", "/fills/7/"]);
  assert.deepEqual(server.bodies, []);
});

test("what was sent is logged", async () => {
  const { id, outcome } = await queue.logPractice({ minutes: "5" });
  assert.equal(await outcome, "logged");
  assert.deepEqual([...server.logged.keys()], [id]);
});

test("what cannot be sent waits", async () => {
  Object.assign(navigator, { onLine: false });
  const { id, outcome } = await queue.logPractice({ minutes: "5" });
  assert.equal(await outcome, "waiting");
  assert.deepEqual(await keptIds(), [id]);
  assert.equal(queue.state, "network");
});

test("what the server refuses comes back with what is wrong", async () => {
  server.insteadOfLogging = () => ({ status: 400, body: REFUSAL });
  const { id, outcome } = await queue.logPractice({ minutes: "500" });
  assert.equal(await outcome, "refused");
  assert.deepEqual(await queue.problemsOf(id), REFUSAL);
});

test("an entry has the id that was wanted for it", async () => {
  const { id } = await queue.logPractice({ minutes: "5" }, "", "wanted");
  assert.equal(id, "wanted");
});

test("what is logged while another entry is on its way is sent as well", async () => {
  /** @type {Promise<unknown>[]} */
  const outcomes = [];
  server.insteadOfLogging = async ({ id }) => {
    if (id === "first") outcomes.push((await queue.logPractice({ minutes: "6" }, "", "second")).outcome);
    return null;
  };
  const { outcome } = await queue.logPractice({ minutes: "5" }, "", "first");
  assert.equal(await outcome, "logged");
  assert.deepEqual(await Promise.all(outcomes), ["logged"]);
  assert.deepEqual([...server.logged.keys()], ["first", "second"]);
});

test("whoever listens hears when something is logged", async () => {
  let heard = 0;
  queue.queue.addEventListener("logged", () => (heard += 1), { once: true });
  const { outcome } = await queue.logPractice({ minutes: "5" });
  await outcome;
  assert.equal(heard, 1);
});

test("an entry that was never sent can be forgotten", async () => {
  Object.assign(navigator, { onLine: false });
  const { id, outcome } = await queue.logPractice({ minutes: "5" });
  await outcome;
  assert.equal(await queue.forget(id), true);
  assert.deepEqual(await keptIds(), []);
});

test("an entry that may be logged is not forgotten", async () => {
  await store.keep(anEntry("a", { sent: "{}" }));
  assert.equal(await queue.forget("a"), false);
});

test("each try that logs nothing doubles the wait for the next, up to a minute", async () => {
  await queue.send(); // nothing waits: the shortest wait is next
  server.insteadOfLogging = () => ({ status: 500, body: "" });
  await store.keep(anEntry("a"));
  for (let tries = 0; tries < 6; tries += 1) await queue.send();
  assert.deepEqual(delays, [4000, 8000, 16_000, 32_000, 60_000, 60_000]);
});

test("a try that logs something makes the next wait short again", async () => {
  await store.keep(anEntry("a", { made: 1 }));
  server.insteadOfLogging = () => ({ status: 500, body: "" });
  await queue.send();
  await queue.send();
  await store.keep(anEntry("b", { made: 2 }));
  server.insteadOfLogging = ({ id }) => (id === "a" ? { status: 500, body: "" } : null);
  await queue.send();
  assert.equal(delays.at(-1), 2000);
});

test("where only others' entries wait there is no next try", async () => {
  await store.keep(anEntry("theirs", { student: 8 }));
  await queue.send();
  assert.deepEqual(delays, []);
});
