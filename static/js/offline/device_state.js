// One line under the page's head: what waits on this device, and why.
import { device, isUsable, queue, state } from "./queue.js";
import * as store from "./store.js";

const line = device?.querySelector("[data-device-state]");
const many = (number) => (number === 1 ? "1 entry" : `${number.toLocaleString("en")} entries`);
const isOut = () => navigator.onLine && (state === "signed-out" || !isUsable);
const waits = (number) => `${many(number)} ${number === 1 ? "waits" : "wait"}`;

function said(own, theirs, refused) {
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

function othersWait(number) {
  if (isUsable) return `${waits(number)} on this device for another student, until they open their personal link here.`;
  return navigator.onLine ? signedOut(number) : `${waits(number)} for the network.`;
}

const signedOut = (number) =>
  `${waits(number)} on this device. Open your personal link again, and ${number === 1 ? "it is" : "they are"} sent.`;

async function show() {
  const entries = await store.all().catch(() => []);
  const isOwn = (entry) => String(entry.student) === device.dataset.student;
  const waiting = entries.filter((entry) => !entry.refused);
  const refused = entries.filter((entry) => entry.refused && isOwn(entry)).length;
  const own = waiting.filter(isOwn).length;
  const text = said(own, waiting.length - own, refused);
  const words = line.querySelector("[data-said]");
  if (words.textContent !== text) words.textContent = text;
  line.hidden = !text;
  line.dataset.waiting = own;
  line.querySelector("[data-look]").hidden = !isUsable || !(own || refused) || location.pathname === device.dataset.log;
}

export function start() {
  if (!line || !window.indexedDB) return;
  queue.addEventListener("change", show);
  addEventListener("online", show);
  addEventListener("offline", show);
  show();
}
