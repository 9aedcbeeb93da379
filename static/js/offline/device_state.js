// One line under the page's head: what waits on this device, and why.
import { part } from "../site/dom.js";
import { device, isUsable, queue, state } from "./queue.js";
import * as store from "./store.js";

const place = device?.querySelector("[data-device-state]");
/** @param {number} number */
const many = (number) => (number === 1 ? "1 entry" : `${number.toLocaleString("en")} entries`);
const isOut = () => navigator.onLine && (state === "signed-out" || !isUsable);
/** @param {number} number */
const waits = (number) => `${many(number)} ${number === 1 ? "waits" : "wait"}`;

/**
 * @param {number} own entries that wait
 * @param {number} theirs those of other students
 * @param {number} refused
 */
function messageOf(own, theirs, refused) {
  const copied = document.documentElement.dataset.copied;
  if (own) {
    if (state === "sending") return `Sending ${many(own)} …`;
    if (isOut()) return signedOut(own);
    if (state === "trouble") return `${waits(own)}: the site does not answer as it should. It tries again by itself.`;
    return `${waits(own)} for the network.`;
  }
  if (refused) return `${many(refused)} could not be logged as ${refused === 1 ? "it is" : "they are"}.`;
  if (theirs) return othersWait(theirs);
  if (!navigator.onLine) return "No network. You see what this device keeps; what you log is sent later.";
  return copied ? "The site does not answer. You see what this device keeps." : "";
}

/** @param {number} number */
function othersWait(number) {
  if (isUsable) return `${waits(number)} on this device for another student, until they open their personal link here.`;
  return navigator.onLine ? signedOut(number) : `${waits(number)} for the network.`;
}

/** @param {number} number */
const signedOut = (number) =>
  `${waits(number)} on this device. Open your personal link again, and ${number === 1 ? "it is" : "they are"} sent.`;

/** @param {HTMLElement} line */
async function show(line) {
  const entries = await store.all().catch(() => []);
  /** @param {import("./store.js").Entry} entry */
  const isOwn = (entry) => String(entry.student) === device.dataset.student;
  const waiting = entries.filter((entry) => !entry.refused);
  const refused = entries.filter((entry) => entry.refused && isOwn(entry)).length;
  const own = waiting.filter(isOwn).length;
  const text = messageOf(own, waiting.length - own, refused);
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
