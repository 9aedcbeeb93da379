// "Remind me on this device": asks the browser for leave, subscribes, and sends the form with what
// the browser's push service gave. Without one there is the file for a calendar, which needs no
// script.
import { around, one, part } from "../site/dom.js";

const BLOCKED =
  "This browser blocks messages of this site. Allow notifications in its settings of the site, by the sign beside the address. Or take the file for your calendar.";
const NOT_NOW = "Nothing is changed: the browser was not told to allow it. Touch again, or take the file for your calendar.";
const NO_SERVICE = "This browser could not reach its service for reminders. Try again later, or take the file for your calendar.";

const PATIENCE = 20_000; // milliseconds

const form = document.querySelector("form[data-reminder]");

/** Whether this browser shows messages of a site that is closed. */
const canPush = () => "serviceWorker" in navigator && "PushManager" in window && "Notification" in window;

/** @param {string} text bytes in base64url */
function bytes(text) {
  const letters = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  return Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
}

/** @param {string} key the site's, in base64url */
async function subscribe(key) {
  const { pushManager } = await navigator.serviceWorker.ready;
  const options = { userVisibleOnly: true, applicationServerKey: bytes(key) };
  try {
    return await pushManager.subscribe(options);
  } catch (error) {
    // One made with a former key of the site stands in the way.
    const former = await pushManager.getSubscription();
    if (!former) throw error;
    await former.unsubscribe();
    return pushManager.subscribe(options);
  }
}

/**
 * Asks and subscribes; the words of what stands in the way, or "".
 *
 * @param {HTMLFormElement} asked
 */
async function prepare(asked) {
  const leave = await Notification.requestPermission();
  const isBlocked = leave === "denied" || Notification.permission === "denied";
  if (leave !== "granted") return isBlocked ? BLOCKED : NOT_NOW;
  // A browser whose service is away may never answer.
  const tooLong = /** @type {Promise<null>} */ (new Promise((end) => setTimeout(end, PATIENCE, null)));
  const found = await Promise.race([subscribe(asked.dataset.reminder ?? ""), tooLong]).catch(() => null);
  if (!found) return NO_SERVICE;
  const { endpoint, keys } = found.toJSON();
  /** @type {Record<string, string | undefined>} */
  const values = { endpoint, p256dh: keys?.p256dh, auth: keys?.auth };
  for (const [name, value] of Object.entries(values)) one(asked, `[name=${name}]`, HTMLInputElement).value = value ?? "";
  return "";
}

/** @param {HTMLFormElement} asked */
function bind(asked) {
  const here = part(asked, "[data-reminder-here]");
  if (!canPush()) {
    delete here.dataset.soon;
    part(asked, "[data-reminder-not-here]").hidden = false;
    return;
  }
  here.hidden = false;
  const trouble = part(asked, "[data-reminder-trouble]");
  const button = one(here, "button", HTMLButtonElement);
  asked.addEventListener("submit", async (event) => {
    if (event.submitter !== button) return;
    event.preventDefault();
    trouble.hidden = true;
    const words = await prepare(asked);
    trouble.textContent = words;
    trouble.hidden = !words;
    if (!words) asked.submit();
  });
}

/** Turned off, the browser forgets its address too, where this is the device. */
async function unsubscribe() {
  const worker = await navigator.serviceWorker?.getRegistration();
  const found = await worker?.pushManager?.getSubscription();
  await found?.unsubscribe();
}

if (form instanceof HTMLFormElement) bind(form);
document.addEventListener("submit", (event) => {
  if (around(event, "form[data-reminder-off]", HTMLFormElement)) unsubscribe().catch(() => {});
});
