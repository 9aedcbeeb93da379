// One line under the page's head: what waits on this device, and why.
import { part } from "../site/dom.js";
import * as laterRequests from "./later_requests.js";
import { device, isUsable, queue, state } from "./queue.js";
import * as store from "./store.js";
import { inWords, total } from "./waiting_words.js";

const place = device?.querySelector("[data-device-state]");
/** @typedef {import("./waiting_words.js").Waiting} Waiting */

/** @param {number} entries */
const many = (entries) => inWords({ entries });
const isOut = () => navigator.onLine && (state === "signed-out" || !isUsable);
/** @param {Waiting} waiting */
const wait = (waiting) => `${inWords(waiting)} ${total(waiting) === 1 ? "waits" : "wait"}`;
/** @param {number} entries */
const waits = (entries) => wait({ entries });

/**
 * @param {Waiting & {entries: number}} own
 * @param {number} theirs those of other students
 * @param {number} refused
 */
function messageOf(own, theirs, refused) {
  const copied = document.documentElement.dataset.copied;
  if (total(own)) {
    if (state === "sending" && own.entries) return `Sending ${many(own.entries)} …`;
    if (isOut()) return signedOut(own);
    if (state === "trouble") return `${wait(own)}: the site does not answer as it should. It tries again by itself.`;
    return `${wait(own)} for the network${own.entries === total(own) ? "" : ", to be sent by itself"}.`;
  }
  if (refused) return `${many(refused)} could not be logged as ${refused === 1 ? "it is" : "they are"}.`;
  if (theirs) return othersWait(theirs);
  if (!navigator.onLine) return "No network. You see what this device keeps; what you log is sent later.";
  return copied ? "The site does not answer. You see what this device keeps." : "";
}

/** @param {number} number */
function othersWait(number) {
  if (isUsable) return `${waits(number)} on this device for another student, until they open their personal link here.`;
  return navigator.onLine ? signedOut({ entries: number }) : `${waits(number)} for the network.`;
}

/** @param {Waiting} waiting */
const signedOut = (waiting) =>
  `${wait(waiting)} on this device. Open your personal link again, and ${total(waiting) === 1 ? "it is" : "they are"} sent.`;

/** @param {HTMLElement} line */
async function show(line) {
  const entries = await store.all().catch(() => []);
  /** @param {import("./store.js").Entry} entry */
  const isOwn = (entry) => String(entry.student) === device.dataset.student;
  const waiting = entries.filter((entry) => !entry.refused);
  const refused = entries.filter((entry) => entry.refused && isOwn(entry)).length;
  const own = waiting.filter(isOwn).length;
  const text = messageOf({ entries: own, ...laterRequests.waiting() }, waiting.length - own, refused);
  const words = part(line, "[data-message]");
  if (words.textContent !== text) words.textContent = text;
  line.hidden = !text;
  line.dataset.waiting = String(own);
  part(line, "[data-look]").hidden = !isUsable || !(own || refused) || location.pathname === device.dataset.log;
}

export function start() {
  if (!(place instanceof HTMLElement) || !window.indexedDB) return;
  const showIt = () => show(place);
  queue.addEventListener("change", showIt);
  addEventListener("online", showIt);
  addEventListener("offline", showIt);
  showIt();
}
