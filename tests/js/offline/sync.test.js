// Exactly once, whatever the server and the network do.
import assert from "node:assert/strict";
import { once } from "node:events";
import test, { afterEach, beforeEach } from "node:test";

import * as store from "../../../static/js/offline/store.js";
import { endsAfter, greet, sync } from "../../../static/js/offline/sync.js";
import { anEntry, emptyStore, keptIds } from "./entries.js";
import { LogServer } from "./log_server.js";

const DAY = 86_400_000;
const TROUBLE = { status: 500, body: "<h1>Server Error</h1>" };
const DATABASE_AWAY = { status: 503, body: { error: [{ code: "database-away", message: "Try again.", request_id: "0123456789" }] } };

let server = new LogServer();
/** @type {{dataset: {device: string, entries: string, zone: string}}} */
let device;

/** @param {boolean} onLine */
const setNetwork = (onLine) => Object.assign(navigator, { onLine });

/** Keep entries with these ids, logged one after the other. @param {string[]} ids */
async function keep(...ids) {
  for (const [number, id] of ids.entries()) await store.keep(anEntry(id, { made: Date.now() - 1000 + number }));
}

beforeEach(async () => {
  Object.defineProperty(globalThis, "document", { configurable: true, value: { cookie: "a=b; csrftoken=secret" } });
  setNetwork(true);
  await emptyStore();
  server = new LogServer();
  device = { dataset: await server.open() };
});
afterEach(() => server.close());

test("where nothing waits nobody is asked", async () => {
  assert.deepEqual(await sync(device), { state: "sent", logged: [] });
  assert.equal(server.asked, 0);
});

test("what waits is sent in the order in which it was logged, and leaves the device", async () => {
  await keep("a", "b");
  assert.deepEqual(await sync(device), { state: "sent", logged: ["a", "b"] });
  assert.deepEqual([...server.logged.keys()], ["a", "b"]);
  assert.deepEqual(await keptIds(), []);
});

test("an entry is sent with its fields, its student and the token of the page", async () => {
  await store.keep(anEntry("a", { fields: { minutes: "5", tempo: 88 } }));
  await sync(device);
  const logged = server.logged.get("a");
  assert.deepEqual([logged?.minutes, logged?.tempo, logged?.student], ["5", 88, 7]);
  assert.deepEqual(server.tokens, ["secret"]);
});

test("a browser without AbortSignal.timeout sends too", async (t) => {
  const { timeout } = AbortSignal;
  t.after(() => Object.assign(AbortSignal, { timeout }));
  Reflect.deleteProperty(AbortSignal, "timeout");
  await keep("a");
  assert.deepEqual(await sync(device), { state: "sent", logged: ["a"] });
});

test("without AbortSignal.timeout an answer is given up in time too", async (t) => {
  const { timeout } = AbortSignal;
  t.after(() => Object.assign(AbortSignal, { timeout }));
  Reflect.deleteProperty(AbortSignal, "timeout");
  await once(endsAfter(1), "abort");
});

test("a day that was chosen stays", async () => {
  await store.keep(anEntry("a", { fields: { minutes: "5", day: "2026-11-20" } }));
  await sync(device);
  assert.equal(server.logged.get("a")?.day, "2026-11-20");
});

test("without a chosen day it is that of the server's clock", async () => {
  server.now = Date.parse("2026-11-25T12:00Z");
  const ahead = Date.now() + 3 * DAY;
  await store.keep(anEntry("a", { made: ahead }));
  await sync(device);
  assert.equal(server.logged.get("a")?.day, "2026-11-25");
});

test("an entry that was logged, but not heard of, is sent again word for word and logged once", async () => {
  server.insteadOfLogging = (entry) => {
    server.logged.set(entry.id, entry);
    return TROUBLE;
  };
  await keep("a");
  assert.deepEqual(await sync(device), { state: "trouble", logged: [] });
  server.insteadOfLogging = () => null;
  server.now += DAY; // another day by now
  assert.deepEqual(await sync(device), { state: "sent", logged: ["a"] });
  assert.equal(server.bodies.length, 2);
  assert.equal(server.bodies[1], server.bodies[0]);
  assert.equal(server.logged.size, 1);
});

test("what is sent is on the device before it goes out", async () => {
  /** @type {(string | null | undefined)[]} */
  const kept = [];
  server.insteadOfLogging = async ({ id }) => {
    kept.push((await store.find(id))?.sent);
    return null;
  };
  await keep("a");
  await sync(device);
  assert.deepEqual(kept, server.bodies);
});

test("one entry in trouble does not hold up the others", async () => {
  server.insteadOfLogging = ({ id }) => (id === "a" ? TROUBLE : null);
  await keep("a", "b");
  assert.deepEqual(await sync(device), { state: "trouble", logged: ["b"] });
  assert.deepEqual(await keptIds(), ["a"]);
});

test("what a site without its database was sent waits, and is logged when it is back", async () => {
  await keep("a");
  server.insteadOfDevice = DATABASE_AWAY;
  assert.deepEqual(await sync(device), { state: "trouble", logged: [] });
  server.insteadOfDevice = null;
  server.insteadOfLogging = () => DATABASE_AWAY;
  assert.deepEqual(await sync(device), { state: "trouble", logged: [] });
  server.insteadOfLogging = () => null;
  assert.deepEqual(await sync(device), { state: "sent", logged: ["a"] });
});

test("a server in trouble three times in a row is left alone", async () => {
  server.insteadOfLogging = () => TROUBLE;
  await keep("a", "b", "c", "d", "e");
  assert.equal((await sync(device)).state, "trouble");
  assert.equal(server.bodies.length, 3);
  assert.equal((await keptIds()).length, 5);
});

test("an answer that does not name the entry is not the log's", async () => {
  server.insteadOfLogging = () => ({ status: 200, body: { welcome: "to our hotel" } });
  await keep("a");
  assert.equal((await sync(device)).state, "trouble");
  assert.deepEqual(await keptIds(), ["a"]);
});

test("an entry that was logged and changed since leaves the device", async () => {
  server.insteadOfLogging = ({ id }) => ({ status: 409, body: { entry: { id } } });
  await keep("a");
  assert.deepEqual(await sync(device), { state: "sent", logged: ["a"] });
  assert.deepEqual(await keptIds(), []);
});

test("an entry whose id belongs to another one gets a new id, and what it says stays", async () => {
  server.insteadOfLogging = ({ id }) => (id === "a" ? { status: 409, body: { id: [{ code: "taken" }] } } : null);
  await keep("a");
  assert.equal((await sync(device)).state, "trouble");
  const [{ id, sent, fields }] = await store.all();
  assert.notEqual(id, "a");
  assert.deepEqual([sent, fields], [null, { minutes: "5" }]);
  assert.deepEqual(await sync(device), { state: "sent", logged: [id] });
});

test("what the server refuses stays on the device with what is wrong, and is not sent again", async () => {
  const problems = { minutes: [{ code: "max_value", message: "Too many." }] };
  server.insteadOfLogging = () => ({ status: 400, body: problems });
  await keep("a");
  assert.deepEqual(await sync(device), { state: "sent", logged: [] });
  assert.deepEqual((await store.find("a"))?.refused, problems);
  await sync(device);
  assert.equal(server.bodies.length, 1);
});

test("an entry that turns out to be another student's waits unrefused", async () => {
  server.insteadOfLogging = () => ({ status: 400, body: { student: [{ code: "another" }] } });
  await keep("a");
  assert.equal((await sync(device)).state, "another");
  assert.equal((await store.find("a"))?.refused, null);
});

test("entries of another student stay where they are", async () => {
  await store.keep(anEntry("theirs", { student: 8 }));
  await keep("own");
  assert.deepEqual(await sync(device), { state: "another", logged: ["own"] });
  assert.deepEqual(await keptIds(), ["theirs"]);
});

test("who is signed out sends nothing", async () => {
  server.insteadOfDevice = { status: 401, body: {} };
  await keep("a");
  assert.deepEqual(await sync(device), { state: "signed-out", logged: [] });
  assert.deepEqual(server.bodies, []);
});

test("who is signed out in between sends no more", async () => {
  server.insteadOfLogging = () => ({ status: 401, body: {} });
  await keep("a", "b");
  assert.equal((await sync(device)).state, "signed-out");
  assert.equal(server.bodies.length, 1);
});

test("who is told by a page, not by JSON, that they are signed out is signed out", async () => {
  server.insteadOfLogging = () => ({ status: 401, body: "<h1>Sign in</h1>" });
  await keep("a");
  assert.equal((await sync(device)).state, "signed-out");
});

test("a server that does not say who is signed in is in trouble", async () => {
  server.insteadOfDevice = TROUBLE;
  await keep("a");
  assert.equal((await sync(device)).state, "trouble");
  assert.deepEqual(server.bodies, []);
});

test("without a network nothing is tried", async () => {
  setNetwork(false);
  await keep("a");
  assert.deepEqual(await sync(device), { state: "network", logged: [] });
  assert.equal(server.asked, 0);
});

test("a server that is not reached is the network's fault", async () => {
  await keep("a");
  await server.close();
  assert.equal((await sync(device)).state, "network");
  assert.deepEqual(await keptIds(), ["a"]);
});

test("two pages that send at the same time send each entry once", async () => {
  await keep("a", "b");
  await Promise.all([sync(device), sync(device)]);
  assert.equal(server.bodies.length, 2);
});

test("whoever greets learns how far this device's clock is ahead", async () => {
  server.now = Date.now() - 3 * DAY;
  await greet(device);
  assert.equal(await store.fact("seen"), server.now);
  assert.ok(Math.abs(((await store.fact("ahead")) ?? 0) - 3 * DAY) < 60_000);
});
