// One line under the page's head: what waits on this device, and why.
import { part } from "../site/dom.js";
import * as laterRequests from "./later_requests.js";
import { device, isUsable, queue, state } from "./queue.js";
import * as store from "./store.js";
import { greet } from "./sync.js";
import { inWords, total } from "./waiting_words.js";

const place = device?.querySelector("[data-device-state]");
/** @typedef {import("./waiting_words.js").Waiting} Waiting */

const AGAIN = 10_000; // milliseconds until a copy asks again whether the site answers

/** Whether what is shown came from this device, since the site did not answer. */
const isCopy = () => "copied" in document.documentElement.dataset;
const isOut = () => navigator.onLine && (state === "signed-out" || laterRequests.hindrance === "signed-out" || !isUsable);
/** @param {Waiting} waiting */
const wait = (waiting) => `${inWords(waiting)} ${total(waiting) === 1 ? "waits" : "wait"}`;
/** @param {Waiting} one @param {Waiting} other */
const together = (one, other) => ({
  entries: (one.entries ?? 0) + (other.entries ?? 0),
  takes: (one.takes ?? 0) + (other.takes ?? 0),
  changes: (one.changes ?? 0) + (other.changes ?? 0),
});

/**
 * @param {Waiting & {entries: number}} own
 * @param {Waiting} theirs those of other students
 * @param {Waiting} refused
 */
function messageOf(own, theirs, refused) {
  if (total(own)) {
    if (state === "sending" && own.entries) return `Sending ${inWords({ entries: own.entries })} …`;
    if (isOut()) return signedOut(own);
    if (state === "trouble" || laterRequests.hindrance === "trouble") return `${wait(own)}: the site does not answer as it should. It tries again by itself.`;
    return `${wait(own)} for the network${own.entries === total(own) ? "" : ", to be sent by itself"}.`;
  }
  if (total(refused)) return notTaken(refused);
  if (total(theirs)) return othersWait(theirs);
  if (!navigator.onLine) return "No network. You see what this device keeps; what you log is sent later.";
  return isCopy() ? "The site does not answer. You see what this device keeps." : "";
}

/** @param {Waiting} refused */
function notTaken(refused) {
  const how = refused.entries === total(refused) ? "be logged as" : "be sent as";
  return `${inWords(refused)} could not ${how} ${total(refused) === 1 ? "it is" : "they are"}.`;
}

/** @param {Waiting} theirs */
function othersWait(theirs) {
  if (isUsable) return `${wait(theirs)} on this device for another student, until they open their personal link here.`;
  return navigator.onLine ? signedOut(theirs) : `${wait(theirs)} for the network.`;
}

/** @param {Waiting} waiting */
const signedOut = (waiting) =>
  `${wait(waiting)} on this device, to be sent when your link is opened here. Where it has ended, ask your teacher for a new one.`;

/** @param {HTMLElement} line */
async function show(line) {
  const entries = await store.all().catch(() => []);
  /** @param {import("./store.js").Entry} entry */
  const isOwn = (entry) => String(entry.student) === device.dataset.student;
  const waiting = entries.filter((entry) => !entry.refused);
  const refused = together({ entries: entries.filter((entry) => entry.refused && isOwn(entry)).length }, laterRequests.refused());
  const own = { entries: waiting.filter(isOwn).length, ...laterRequests.waiting() };
  const theirs = together({ entries: waiting.length - own.entries }, laterRequests.ofOthers());
  // What is sent at once makes no page jump.
  const text = state === "sending" && line.hidden ? "" : messageOf(own, theirs, refused);
  const words = part(line, "[data-message]");
  if (words.textContent !== text) words.textContent = text;
  line.hidden = !text;
  line.dataset.waiting = String(own.entries);
  part(line, "[data-look]").hidden = !isUsable || !total(together(own, refused)) || location.pathname === device.dataset.log;
}

/**
 * A copy says so until the site answers.
 *
 * @param {() => void} showIt
 */
function awaitTheSite(showIt) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const ask = async () => {
    clearTimeout(timer);
    if (!isCopy()) return;
    const { state: met } = await greet(device);
    if (met !== "network" && met !== "trouble") delete document.documentElement.dataset.copied;
    else timer = setTimeout(ask, AGAIN);
    showIt();
  };
  addEventListener("online", ask);
  ask();
}

export function start() {
  if (!(place instanceof HTMLElement) || !window.indexedDB) return;
  const showIt = () => show(place);
  queue.addEventListener("change", showIt);
  addEventListener("online", showIt);
  addEventListener("offline", showIt);
  showIt();
  awaitTheSite(showIt);
}
