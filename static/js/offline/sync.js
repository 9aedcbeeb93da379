// Send what waits to the server, exactly once.
//
// Exactly once comes of three things: the id is made before the first try, and the server logs
// an id once; what is sent is kept word for word before it is sent, so that a second try is the
// same; an entry leaves this device only after the server has said that it has it. One that grows
// while it is on its way stays, until the server has all of it.
import { dayIn, whenMade } from "./clock.js";
import * as store from "./store.js";

/** @typedef {import("./store.js").Entry} Entry */

/**
 * What sending needs of the page: the addresses of who is signed in and of the log, and the zone.
 *
 * @typedef {{dataset: {device: string, entries: string, zone: string}}} Addresses
 */
/** @typedef {"network" | "trouble" | "signed-out" | "another"} Hindrance */
/** @typedef {{state: "sent" | Hindrance, logged: string[]}} Tried */
/** @typedef {{student: number, now: number, day: string}} DeviceAnswer of the server's clock, in ms */
/** @typedef {{id?: string, entry?: {id?: string}, student?: unknown}} LogAnswer an entry, or what is wrong */
/** @typedef {{state?: undefined, student: number, now: number, here: number, day: string}} Greeting */

const LOCK = "fillwright-entries";
const PATIENCE = 20_000; // milliseconds until an answer is given up
const TROUBLES_IN_A_ROW = 3;

/**
 * Resolve with what came of it; `logged` are the ids that the server has now. One page of the
 * device at a time.
 *
 * @param {Addresses} device
 * @returns {Promise<Tried>}
 */
export async function sync(device) {
  return await navigator.locks.request(LOCK, () => sendAll(device));
}

/**
 * @param {Addresses} device
 * @returns {Promise<Tried>}
 */
async function sendAll(device) {
  /** @type {string[]} */
  const logged = [];
  const waiting = (await store.all()).filter((entry) => !entry.refused);
  if (!waiting.length) return { state: "sent", logged };
  const greeting = await greet(device);
  if (greeting.state) return { state: greeting.state, logged };
  const own = waiting.filter((entry) => entry.student === greeting.student);
  /** @type {Tried["state"]} */
  let state = own.length < waiting.length ? "another" : "sent";
  let troubles = 0;
  for (const entry of own) {
    const outcome = await send(device, greeting, entry);
    if (outcome === "logged") logged.push(entry.id);
    if (outcome === "network" || outcome === "signed-out" || outcome === "another") {
      return { state: outcome, logged };
    }
    troubles = outcome === "trouble" ? troubles + 1 : 0;
    if (outcome === "trouble") state = "trouble";
    if (troubles === TROUBLES_IN_A_ROW) break;
  }
  return { state, logged };
}

/**
 * Ask who is signed in and what time it is.
 *
 * @param {Addresses} device
 * @returns {Promise<Greeting | {state: Hindrance, student?: undefined}>}
 */
export async function greet(device) {
  const answer = await ask(device.dataset.device);
  if (!answer) return { state: "network" };
  if (answer.status === 401 || answer.status === 403) return { state: "signed-out" };
  const told = /** @type {DeviceAnswer | null} */ (answer.ok ? await read(answer) : null);
  if (!told) return { state: "trouble" };
  await store.keepFact("seen", told.now);
  await store.keepFact("ahead", Date.now() - told.now);
  return { student: told.student, now: told.now, here: Date.now(), day: told.day };
}

/**
 * @param {Addresses} device
 * @param {Greeting} greeting
 * @param {Entry} entry
 * @returns {Promise<Hindrance | "logged" | "refused" | "gone">}
 */
async function send(device, greeting, entry) {
  const body = await freeze(device, greeting, entry.id);
  if (!body) return "gone";
  const answer = await ask(device.dataset.entries, {
    method: "POST",
    headers: { "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
    body,
  });
  if (!answer) return "network";
  const told = /** @type {LogAnswer | null} */ (await read(answer));
  // Only an answer of the log itself counts; what stands between us and it may say anything.
  if (!told) return answer.status === 401 ? "signed-out" : "trouble";
  return settle(entry, body, answer.status, told);
}

/**
 * @param {Entry} entry
 * @param {string} body that was sent
 * @param {number} status
 * @param {LogAnswer} told
 * @returns {Promise<Hindrance | "logged" | "refused">}
 */
async function settle(entry, body, status, told) {
  /** @param {{id?: string} | undefined} one */
  const isIt = (one) => one?.id === entry.id;
  if ((status === 200 || status === 201) && isIt(told)) return leave(entry, body);
  if (status === 409 && isIt(told.entry)) return leave(entry, body); // logged before, and changed since
  if (status === 409 && told.id && entry.fields.seconds === undefined) {
    await store.replace(entry.id, { ...entry, id: newId(), sent: null });
    return "trouble";
  }
  if (status === 401) return "signed-out";
  if (status === 400 && told.student) return "another";
  if (status !== 400 && status !== 409) return "trouble";
  const refused = /** @type {import("./store.js").Problems} */ (told);
  await store.alter(entry.id, (there) => (there?.sent === body ? { ...there, refused } : undefined));
  return "refused";
}

/**
 * @param {Entry} entry
 * @param {string} body that the server has
 * @returns {Promise<"logged">}
 */
async function leave(entry, body) {
  await store.alter(entry.id, (there) => (there?.sent === body ? null : undefined));
  return "logged";
}

/**
 * Settle what is sent for this entry from now on, and keep that before it goes out; null where it
 * was taken off this device in the meantime.
 *
 * @param {Addresses} device
 * @param {Greeting} greeting
 * @param {string} id
 */
async function freeze(device, greeting, id) {
  const { before, after } = await store.alter(id, (there) => {
    if (!there || there.sent) return undefined;
    const day = dayIn(device.dataset.zone, whenMade(there, greeting.here, greeting.now));
    const { fields, student } = there;
    return { ...there, sent: JSON.stringify({ day, ...fields, id, student }) };
  });
  return (after ?? before)?.sent ?? null;
}

/**
 * The response, or null where there was none in time.
 *
 * @param {string} address
 * @param {RequestInit} options
 */
async function ask(address, options = {}) {
  if (!navigator.onLine) return null;
  try {
    return await fetch(address, {
      cache: "no-store",
      credentials: "same-origin",
      redirect: "error",
      signal: endsAfter(PATIENCE),
      ...options,
      headers: { Accept: "application/json", ...options.headers },
    });
  } catch {
    return null;
  }
}

/**
 * The JSON object in an answer, or null.
 *
 * @param {Response} answer
 * @returns {Promise<object | null>}
 */
async function read(answer) {
  try {
    const told = await answer.json();
    return told && typeof told === "object" ? told : null;
  } catch {
    return null;
  }
}

/**
 * A signal that ends a request after so many milliseconds, also in browsers of before 2022.
 *
 * @param {number} milliseconds
 */
export function endsAfter(milliseconds) {
  if (AbortSignal.timeout) return AbortSignal.timeout(milliseconds);
  const end = new AbortController();
  setTimeout(() => end.abort(), milliseconds);
  return end.signal;
}

/** @returns {string} a new UUID (RFC 9562, version 4); `randomUUID` is there on secure pages alone */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

export function csrfToken() {
  return document.cookie.match(/(?:^|; )csrftoken=([^;]*)/)?.[1] ?? "";
}
