// Logging practice from any page: kept on this device first, then sent.
//
//   const { id, outcome } = await logPractice({ variation: 7, minutes: "5", tempo: 88 }, "Line 4");
//
// The promise resolves once the entry is on disk; `outcome` resolves to what came of it: "logged",
// "refused" (see `problemsOf(id)`), or "waiting". Without a `day` it is the day on which this ran.
import { grown, journal, note, strike } from "./growing.js";
import * as store from "./store.js";
import { greet, newId, sync } from "./sync.js";

const FIRST_DELAY = 2_000; // milliseconds until the next try; doubled with each
const LONGEST_DELAY = 60_000;

/** @typedef {import("./store.js").Entry} Entry */
/** @typedef {import("./sync.js").Tried["state"] | "sending"} QueueState */

/**
 * What the page says of the student's device: addresses, and, where a student is signed in, who
 * that is and their zone.
 *
 * @typedef {object} DeviceFacts
 * @property {string | undefined} student
 * @property {string} zone
 * @property {string} device
 * @property {string} entries
 * @property {string} log
 * @property {string} undo
 * @property {string} worker
 */
/** @typedef {HTMLElement & {dataset: DeviceFacts}} Device */

// Not on a teacher's page. Whatever reads it runs where `isUsable`, or is begun by
// offline_page.js, or is a page of students alone: all of them have it.
export const device = /** @type {Device} */ (document.querySelector("[data-device]"));
export const isUsable = Boolean(
  device?.dataset.student && isSecureContext && window.indexedDB && navigator.locks,
);
// Says "change" whenever what waits has changed, in this page or another one.
export const queue = new EventTarget();

const others = new BroadcastChannel("fillwright-entries");
/** @type {Promise<void> | undefined} */
let running;
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let delay = FIRST_DELAY;
/** What came of the last try; "sending" while one runs. @type {QueueState} */
export let state = "sent";

/**
 * @param {import("./store.js").Fields} fields
 * @param {string} said the fill in words
 * @param {string} wantedId
 */
export async function logPractice(fields, said = "", wantedId = newId()) {
  /** @type {Entry} */
  const entry = {
    id: wantedId,
    student: Number(device.dataset.student),
    made: Date.now(),
    seen: (await store.fact("seen")) ?? null,
    fields,
    said,
    page: location.pathname,
    sent: null,
    refused: null,
  };
  const id = await store.takeIn(entry, newId());
  navigator.storage?.persist?.().catch(() => {});
  changed();
  return { id, outcome: send().then(() => outcomeOf(id)) };
}

/** @typedef {Pick<Entry, "id" | "made" | "seen" | "fields" | "said" | "tried">} Growing */

/**
 * Keep how far practice has come that is counted while it is played: each time all of it, under
 * the same id. Noted before this returns, so that a page may be closed at once.
 *
 * @param {Growing} come
 * @param {{sends?: boolean}} how whether it is sent now; while it is played it may wait
 */
export async function keepGrowing(come, { sends = true } = {}) {
  /** @type {Entry} */
  const entry = { ...come, student: Number(device.dataset.student), page: location.pathname, sent: null, refused: null };
  note(entry);
  await takeInGrowing(entry);
  if (!sends) return { outcome: null };
  changed();
  return { outcome: send().then(() => outcomeOf(entry.id)) };
}

/** @param {Entry} entry */
async function takeInGrowing(entry) {
  await store.alter(entry.id, (there) => (there ? grown(there, entry) : entry));
  strike(entry);
}

/**
 * @param {string} id
 * @returns {Promise<"logged" | "refused" | "waiting">}
 */
async function outcomeOf(id) {
  const entry = await store.find(id);
  if (!entry) return "logged";
  return entry.refused ? "refused" : "waiting";
}

/** @param {string} id */
export const problemsOf = async (id) => (await store.find(id))?.refused ?? {};

/**
 * Forget an entry; resolve with whether it is gone, since what may be logged cannot be unsent.
 *
 * @param {string} id
 */
export async function forget(id) {
  for (const entry of journal()) if (entry.id === id) strike(entry);
  const gone = await store.dropUnsent(id);
  changed();
  return gone;
}

// Send what waits, and go on trying. What is logged while sending is sent as well.
export function send() {
  if (running) {
    again = true;
    return running;
  }
  clearTimeout(timer);
  running = tryAll().finally(() => (running = undefined));
  return running;
}

/** @returns {import("./sync.js").Tried} */
const troubled = () => ({ state: "trouble", logged: [] });

async function tryAll() {
  /** @type {string[]} */
  let logged;
  do {
    again = false;
    show("sending");
    const tried = await sync(device).catch(troubled);
    logged = tried.logged;
    show(tried.state);
    if (logged.length) changed("logged");
  } while (again);
  const left = await store.all();
  const own = left.filter((entry) => !entry.refused && String(entry.student) === device.dataset.student);
  delay = own.length && !logged.length ? Math.min(2 * delay, LONGEST_DELAY) : FIRST_DELAY;
  if (own.length) timer = setTimeout(send, delay);
}

/** @param {QueueState} now */
function show(now) {
  state = now;
  queue.dispatchEvent(new Event("change"));
}

/** @param {"kept" | "logged"} what */
function changed(what = "kept") {
  queue.dispatchEvent(new Event("change"));
  if (what === "logged") queue.dispatchEvent(new Event("logged"));
  others.postMessage(what);
}

async function look() {
  for (const entry of journal()) await takeInGrowing(entry);
  const entries = await store.all();
  if (entries.length) await send();
  else await greet(device);
}

function soon() {
  delay = FIRST_DELAY;
  send();
}

// Look at once whether the network is back, and how far this device's clock is off.
export function start() {
  others.addEventListener("message", () => queue.dispatchEvent(new Event("change")));
  addEventListener("online", soon);
  addEventListener("offline", () => show("network"));
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") soon();
  });
  addEventListener("pageshow", (event) => event.persisted && soon());
  if (isUsable) look().catch(() => {});
}
