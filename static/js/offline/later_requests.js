// What is said of practice beside the log: how many times through were clean, how it felt, what
// is mastered now, a take, and whatever else is a form. Kept on this device until the server has
// it; each has an id of its own or says the same twice without harm.
//
//   sayOf(entryId, { clean_loops: 3 });            // change an entry of this student
//   master("/api/variations/7/mastered/");
//   sendTake("/api/takes/", take);
//   sendForm({ address: "/log/…/", fields, said: "5 min, changed", page: "/log/…/" });
import { wordsIn } from "./form_problems.js";
import { read, thingOf, withOne, write } from "./later_list.js";
import { device, queue, send as sendEntries } from "./queue.js";
import * as store from "./store.js";
import { csrfToken, endsAfter, greet, newId } from "./sync.js";

/** @typedef {import("./later_list.js").LaterRequest} LaterRequest */
/** @typedef {import("./form_problems.js").Words} Words */
/** @typedef {{clean_loops?: number | null, felt?: unknown, note?: unknown}} Afterthought */
/** @typedef {{status: number, body: Record<string, any>, problems?: Words, again?: number}} Answer */
/** @typedef {"network" | "trouble" | "signed-out"} LaterState */
/** @typedef {{student?: string, entry?: null} & Omit<LaterRequest, "student" | "entry" | "id">} NewRequest */

const AGAIN = 15_000; // milliseconds until the next try
const LATER = 60_000; // the same where there was too much, unless the server says when
const LOCK = "fillwright-afterwards";
const PATIENCE = 3_000; // milliseconds for the entry itself to arrive
const SHOWN_AFTER = 4_000; // milliseconds until who asked hears that it waits; the try goes on
const ANSWERED_WITHIN = 20_000; // milliseconds until an answer is given up, and tried for again
const MOST_AS_THE_PAGE_CLOSES = 50_000; // bytes; a browser may hold 64 KB in all
const NO_LONGER_THERE = "It is no longer there: your teacher may have taken it back.";

/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let nextTry = Infinity; // in milliseconds, by this device's clock
/** What hinders sending now, as far as this page knows. @type {LaterState | null} */
export let hindrance = null;
/** The ids of which somebody on this page waits to hear. @type {Set<string>} */
const awaited = new Set();
/** @type {Map<string, Answer>} */
const answers = new Map();

/**
 * Resolve with the answer's status, or null where it waits.
 *
 * @param {string} id of an entry
 * @param {Afterthought} content
 */
export const sayOf = (id, content) =>
  statusOf(later({ method: "PATCH", address: `${device.dataset.entries}${id}/`, content, said: "what you said of your practice" }, id));

/** The same for a press. @param {string} address */
export const master = (address) =>
  statusOf(later({ method: "POST", address, content: { id: newId() }, said: "mastered" }));

/**
 * Resolve with the answer, or null where it waits; and whether it is kept here until then.
 *
 * @param {string} address
 * @param {{id: string}} take
 */
export async function sendTake(address, take) {
  const answer = await later({ method: "POST", address, content: take, key: take.id, said: "a take" });
  return { answer, isKept: read().some(({ key }) => key === take.id) };
}

/**
 * The same for a form; with an `id`, it is the form that had it before.
 *
 * @param {Pick<LaterRequest, "address" | "fields" | "said" | "page" | "key"> & {id?: string}} form
 */
export async function sendForm({ id = newId(), ...form }) {
  const answer = await later({ method: "POST", ...form }, null, id);
  return { id, answer, isKept: read().some((one) => one.id === id) };
}

/** @param {LaterRequest} request */
const isOwn = ({ student }) => student === device.dataset.student;
/** @param {LaterRequest[]} all */
const counted = (all) => ({ takes: all.filter(({ key }) => key).length, changes: all.filter(({ key }) => !key).length });

/** How many takes of this student wait, and how much else. */
export const waiting = () => counted(read().filter((one) => isOwn(one) && !one.refused));
/** The same for what the server did not take. */
export const refused = () => counted(read().filter((one) => isOwn(one) && one.refused));
/** The same for what other students did. */
export const ofOthers = () => counted(read().filter((one) => !isOwn(one)));
/** All that is kept of this student, in order. */
export const own = () => read().filter(isOwn);

/** Forget one; false where it may be on the server by now. @param {string} id */
export function takeOff(id) {
  const found = read().find((one) => one.id === id);
  if (found?.tried && !found.refused) return false;
  change((all) => all.filter((one) => one.id !== id));
  return Boolean(found);
}

/** Send once more what was refused. @param {string} id */
export function tryAgain(id) {
  change((all) => all.map((one) => (one.id === id ? { ...one, refused: undefined, problems: undefined } : one)));
  return sendAll();
}

/** @param {Promise<Answer | null>} answer */
const statusOf = async (answer) => (await answer)?.status ?? null;

/**
 * @param {NewRequest} what
 * @param {string | null} entry that must be logged before
 * @param {string} id
 * @returns {Promise<Answer | null>}
 */
async function later(what, entry = null, id = newId()) {
  const kept = { ...what, id, entry, student: device.dataset.student };
  const isKept = change((all) => withOne(all, kept));
  awaited.add(id);
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let patience;
  /** @type {Promise<null>} */
  const late = new Promise((resolve) => (patience = setTimeout(resolve, SHOWN_AFTER, null)));
  const answered = sendAll(isKept ? null : kept).then(() => answers.get(id) ?? null);
  return Promise.race([answered, late]).finally(() => {
    clearTimeout(patience);
    awaited.delete(id);
    answers.delete(id);
  });
}

/**
 * Send what waits, one after the other.
 *
 * @param {LaterRequest | null} unkept what this browser has no room for
 */
export function sendAll(unkept = null) {
  const all = async () => {
    const list = read().filter((one) => isOwn(one) && !one.refused);
    await sendInOrder(list, unkept);
  };
  return navigator.locks ? navigator.locks.request(LOCK, all) : all();
}

/**
 * @param {LaterRequest[]} list
 * @param {LaterRequest | null} unkept
 */
async function sendInOrder(list, unkept) {
  /** @type {Set<string>} */
  const heldUp = new Set();
  /** @type {LaterState | null} */
  let met = null;
  clearTimeout(timer);
  nextTry = Infinity;
  for (const one of unkept ? [...list, unkept] : list) {
    const thing = thingOf(one.address);
    if (heldUp.has(thing) || (one.entry && (await isStillToBeLogged(one.entry)))) {
      heldUp.add(thing);
      continue;
    }
    const hindered = await send(one, one === unkept);
    met = hindered ?? met;
    if (hindered) heldUp.add(thing);
    if (hindered === "network" || hindered === "signed-out") break;
  }
  hindrance = met;
  if (met) queue.dispatchEvent(new Event("change"));
}

/**
 * @param {LaterRequest} one
 * @param {boolean} isUnkept
 * @returns {Promise<LaterState | null>} what hindered it
 */
async function send(one, isUnkept) {
  // Somebody else may be signed in by now; to them this entry does not exist.
  const hindered = await whatHinders(one.student);
  if (hindered) return wait(hindered);
  // It was taken off, or said anew, while we asked.
  if (!isUnkept && !read().some(({ id }) => id === one.id)) return null;
  change((all) => all.map((other) => (other.id === one.id ? { ...other, tried: true } : other)));
  const answer = await ask(one);
  if (!answer) return wait("network");
  if (answer.status === 401 || answer.status === 403) return wait("signed-out");
  if (answer.status >= 500 || answer.status === 408) return wait("trouble");
  if (answer.status === 429) return wait("trouble", answer.again);
  settle(one, answer);
  return null;
}

/**
 * @param {string | undefined} student
 * @returns {Promise<LaterState | null>}
 */
async function whatHinders(student) {
  const greeting = await greet(device);
  if (greeting.state === "network" || greeting.state === "trouble") return greeting.state;
  return String(greeting.student) === student ? null : "signed-out";
}

/**
 * One that is to wait for long does not keep the others waiting.
 *
 * @param {LaterState} hindered
 * @param {number} until the next try, in milliseconds
 */
function wait(hindered, until = AGAIN) {
  if (Date.now() + until < nextTry) {
    nextTry = Date.now() + until;
    clearTimeout(timer);
    timer = setTimeout(() => sendAll(), until);
  }
  return hindered;
}

/**
 * @param {LaterRequest} one
 * @param {Answer} answer that is the last word on it
 */
function settle(one, answer) {
  const isTaken = answer.status < 400;
  if (isTaken || awaited.has(one.id)) {
    answers.set(one.id, answer);
    // Only this word of it: what was said anew in the meantime has an id of its own.
    change((all) => all.filter(({ id }) => id !== one.id));
  } else {
    const why = { refused: reasons(answer), problems: answer.problems };
    change((all) => all.map((other) => (other.id === one.id ? { ...other, ...why } : other)));
  }
  if (isTaken) queue.dispatchEvent(new Event("said"));
}

/** Why the server did not take it, in words. @param {Answer} answer */
export function reasons({ status, body, problems }) {
  if (status === 404) return [NO_LONGER_THERE];
  const told = problems ? Object.values(problems).flat() : Object.values(body).flat().map((one) => one?.message ?? "");
  const words = told.filter(Boolean);
  return words.length ? words : [`The server did not take it (${status}).`];
}

/**
 * @param {LaterRequest} request
 * @returns {Promise<Answer | null>}
 */
async function ask(request) {
  const { method, address } = request;
  const body = request.fields ? formData(request.fields) : JSON.stringify(request.content);
  const headers = { "X-CSRFToken": csrfToken(), ...headersOf(request) };
  const size = typeof body === "string" ? body.length : JSON.stringify(request.fields).length;
  const keepalive = size < MOST_AS_THE_PAGE_CLOSES;
  const signal = endsAfter(ANSWERED_WITHIN);
  try {
    const answer = await fetch(address, { method, headers, body, keepalive, signal, redirect: "manual" });
    return await readAnswer(answer, Boolean(request.fields));
  } catch {
    return null;
  }
}

/**
 * @param {LaterRequest} request
 * @returns {Record<string, string>}
 */
function headersOf({ fields, id, student }) {
  if (!fields) return { "Content-Type": "application/json", Accept: "application/json" };
  return { "X-Form-Id": id, "X-Form-Student": student ?? "" };
}

/**
 * @param {Response} answer
 * @param {boolean} ofForm whether a form was sent: what is wrong with it stands in a page
 * @returns {Promise<Answer>}
 */
async function readAnswer(answer, ofForm) {
  const { status } = answer;
  // Only to sign in is anybody sent elsewhere.
  if (answer.type === "opaqueredirect" || (status >= 300 && status < 400)) return { status: 401, body: {} };
  const again = Number(answer.headers.get("Retry-After")) * 1000 || LATER;
  const text = await answer.text();
  const body = inJson(text);
  // What stands between us and the site may say anything, but not where a form led to.
  if (ofForm && status < 400 && !("to" in body)) return { status: 503, body };
  return ofForm && status >= 400 ? { status, body, problems: wordsIn(text), again } : { status, body, again };
}

/**
 * @param {string} text
 * @returns {Record<string, any>}
 */
function inJson(text) {
  try {
    const told = JSON.parse(text);
    return told && typeof told === "object" ? told : {};
  } catch {
    return {};
  }
}

/** @param {import("./later_list.js").Field[]} fields */
function formData(fields) {
  const data = new FormData();
  for (const [name, value] of fields) {
    if (typeof value === "string") data.append(name, value);
    else data.append(name, fileOf(value), value.name);
  }
  return data;
}

/** @param {import("./later_list.js").KeptFile} kept */
function fileOf({ type, data }) {
  const bytes = Uint8Array.from(atob(data), (letter) => letter.charCodeAt(0));
  return new Blob([bytes], { type });
}

/** Whether the entry itself is still on its way, after a moment. @param {string} id */
async function isStillToBeLogged(id) {
  if (!(await waits(id))) return false;
  await Promise.race([sendEntries(), new Promise((resolve) => setTimeout(resolve, PATIENCE))]);
  return waits(id);
}

/** @param {string} id */
async function waits(id) {
  return Boolean(await store.find(id).catch(() => null));
}

/** @param {(all: LaterRequest[]) => LaterRequest[]} how */
function change(how) {
  const isKept = write(how(read()));
  queue.dispatchEvent(new Event("change"));
  return isKept;
}

export function start() {
  // Those of an earlier version of the site have no id.
  if (read().some(({ id }) => !id)) change((all) => all.map((one) => ({ ...one, id: one.id ?? newId() })));
  queue.addEventListener("logged", () => sendAll());
  addEventListener("online", () => sendAll());
  if (own().length) sendAll();
}
