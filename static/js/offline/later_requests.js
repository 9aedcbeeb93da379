// What is said of practice after it was logged: how many times through were clean, how it felt,
// what is mastered now. Kept on this device until the server has it; saying it twice is harmless.
//
//   sayOf(entryId, { clean_loops: 3 });            // change an entry of this student
//   master("/api/variations/7/mastered/");
import { device, queue, send as sendEntries } from "./queue.js";
import * as store from "./store.js";
import { csrfToken, greet } from "./sync.js";

/** @typedef {{student: string | undefined, method: "PATCH" | "POST", address: string, entry: string | null, content: object}} LaterRequest */
/** @typedef {{clean_loops?: number | null, felt?: unknown, note?: unknown}} Afterthought */

const NAME = "fillwright-afterwards";
const AGAIN = 15_000; // milliseconds until the next try
const LOCK = "fillwright-afterwards";
const PATIENCE = 3_000; // milliseconds for the entry itself to arrive

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/**
 * @param {string} id of an entry
 * @param {Afterthought} content
 */
export const sayOf = (id, content) => later({ method: "PATCH", address: `${device.dataset.entries}${id}/`, entry: id, content });
/** @param {string} address */
export const master = (address) => later({ method: "POST", address, entry: null, content: {} });

/**
 * Resolve with the answer's status, or null where it waits.
 *
 * @param {Omit<LaterRequest, "student">} what
 */
async function later(what) {
  const kept = { ...what, student: device.dataset.student };
  change((all) => [...all.filter((one) => keyOf(one) !== keyOf(kept)), kept]);
  return send(kept);
}

/** @param {LaterRequest} one */
async function send(one) {
  if (one.student !== device.dataset.student) return null;
  if (one.entry && (await waits(one.entry))) {
    await Promise.race([sendEntries(), new Promise((resolve) => setTimeout(resolve, PATIENCE))]);
    if (await waits(one.entry)) return null;
  }
  // Somebody else may be signed in by now; to them this entry does not exist.
  const status = (await isSignedIn(one.student)) ? await ask(one) : null;
  if (status === null || status >= 500 || status === 401 || status === 403) {
    clearTimeout(timer);
    timer = setTimeout(sendAll, AGAIN);
    return null;
  }
  // Only this word of it: what was said anew in the meantime is still to be sent.
  change((all) => all.filter((other) => JSON.stringify(other) !== JSON.stringify(one)));
  return status;
}

/** @param {string | undefined} student */
async function isSignedIn(student) {
  const greeting = await greet(device);
  return String(greeting.student) === student;
}

/** @param {LaterRequest} request */
async function ask({ method, address, content }) {
  const headers = { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": csrfToken() };
  try {
    const answer = await fetch(address, { method, headers, body: JSON.stringify(content), keepalive: true });
    return answer.status;
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
const keyOf = ({ method, address }) => `${method} ${address}`;

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
}

export function start() {
  queue.addEventListener("logged", sendAll);
  addEventListener("online", sendAll);
  if (read().length) sendAll();
}
