// What is said of practice beside the log: how many times through were clean, how it felt, what
// is mastered now, a take. Kept on this device until the server has it; each has an id of its own
// or says the same twice without harm.
//
//   sayOf(entryId, { clean_loops: 3 });            // change an entry of this student
//   master("/api/variations/7/mastered/");
//   sendTake("/api/takes/", take);
import { device, queue, send as sendEntries } from "./queue.js";
import * as store from "./store.js";
import { csrfToken, greet, newId } from "./sync.js";

/**
 * @typedef {object} LaterRequest
 * @property {string | undefined} student whose it is
 * @property {"PATCH" | "POST"} method
 * @property {string} address
 * @property {string | null} entry that must be logged before
 * @property {object} content
 * @property {string} [key] what a later one of the same address does not replace
 */
/** @typedef {{clean_loops?: number | null, felt?: unknown, note?: unknown}} Afterthought */
/** @typedef {{status: number, body: Record<string, any>}} Answer */

const NAME = "fillwright-afterwards";
const AGAIN = 15_000; // milliseconds until the next try
const LOCK = "fillwright-afterwards";
const PATIENCE = 3_000; // milliseconds for the entry itself to arrive
const SHOWN_AFTER = 4_000; // milliseconds until who asked hears that it waits; the try goes on
const ANSWERED_WITHIN = 20_000; // milliseconds until an answer is given up, and tried for again

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/**
 * Resolve with the answer's status, or null where it waits.
 *
 * @param {string} id of an entry
 * @param {Afterthought} content
 */
export const sayOf = (id, content) =>
  statusOf(later({ method: "PATCH", address: `${device.dataset.entries}${id}/`, entry: id, content }));

/** The same for a press. @param {string} address */
export const master = (address) => statusOf(later({ method: "POST", address, entry: null, content: { id: newId() } }));

/**
 * Resolve with the answer, or null where it waits; and whether it is kept here until then.
 *
 * @param {string} address
 * @param {{id: string}} take
 */
export async function sendTake(address, take) {
  const answer = await later({ method: "POST", address, entry: null, content: take, key: take.id });
  return { answer, isKept: read().some(({ key }) => key === take.id) };
}

/** How many takes of this student wait, and how much else. */
export function waiting() {
  const own = read().filter(({ student }) => student === device.dataset.student);
  const takes = own.filter(({ key }) => key).length;
  return { takes, changes: own.length - takes };
}

/** @param {Promise<Answer | null>} answer */
const statusOf = async (answer) => (await answer)?.status ?? null;

/**
 * @param {Omit<LaterRequest, "student">} what
 * @returns {Promise<Answer | null>}
 */
async function later(what) {
  const kept = { ...what, student: device.dataset.student };
  change((all) => [...all.filter((one) => keyOf(one) !== keyOf(kept)), kept]);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let patience;
  /** @type {Promise<null>} */
  const late = new Promise((resolve) => (patience = setTimeout(resolve, SHOWN_AFTER, null)));
  return Promise.race([send(kept), late]).finally(() => clearTimeout(patience));
}

/**
 * @param {LaterRequest} one
 * @returns {Promise<Answer | null>}
 */
async function send(one) {
  if (one.student !== device.dataset.student) return null;
  if (one.entry && (await waits(one.entry))) {
    await Promise.race([sendEntries(), new Promise((resolve) => setTimeout(resolve, PATIENCE))]);
    if (await waits(one.entry)) return null;
  }
  // Somebody else may be signed in by now; to them this entry does not exist.
  const answer = (await isSignedIn(one.student)) ? await ask(one) : null;
  if (answer === null || answer.status >= 500 || answer.status === 401 || answer.status === 403) {
    clearTimeout(timer);
    timer = setTimeout(sendAll, AGAIN);
    return null;
  }
  // Only this word of it: what was said anew in the meantime is still to be sent.
  change((all) => all.filter((other) => JSON.stringify(other) !== JSON.stringify(one)));
  if (answer.status < 400) queue.dispatchEvent(new Event("said"));
  return answer;
}

/** @param {string | undefined} student */
async function isSignedIn(student) {
  const greeting = await greet(device);
  return String(greeting.student) === student;
}

/**
 * @param {LaterRequest} request
 * @returns {Promise<Answer | null>}
 */
async function ask({ method, address, content }) {
  const headers = { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": csrfToken() };
  const body = JSON.stringify(content);
  const signal = AbortSignal.timeout(ANSWERED_WITHIN);
  // What is sent as a page closes may hold 64 KB at most.
  const keepalive = body.length < 50_000;
  try {
    const answer = await fetch(address, { method, headers, body, keepalive, signal });
    return { status: answer.status, body: await answer.json().catch(() => ({})) };
  } catch {
    return null;
  }
}

/** Whether the entry itself is still on its way. @param {string} id */
async function waits(id) {
  return Boolean(await store.find(id).catch(() => null));
}

function sendAll() {
  const all = async () => {
    for (const one of read()) await send(one);
  };
  return navigator.locks ? navigator.locks.request(LOCK, all) : all();
}

/** @param {LaterRequest} request */
const keyOf = ({ method, address, key = "" }) => `${method} ${address} ${key}`;

/** @returns {LaterRequest[]} */
function read() {
  try {
    return JSON.parse(localStorage.getItem(NAME) ?? "[]") ?? [];
  } catch {
    return [];
  }
}

/** @param {(all: LaterRequest[]) => LaterRequest[]} how */
function change(how) {
  try {
    localStorage.setItem(NAME, JSON.stringify(how(read())));
  } catch {
    // A browser that keeps nothing: it is sent once, now.
  }
  queue.dispatchEvent(new Event("change"));
}

export function start() {
  queue.addEventListener("logged", sendAll);
  addEventListener("online", sendAll);
  if (read().length) sendAll();
}
