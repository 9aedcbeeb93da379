// One hint on Today that it can be put on the home screen: by a button where the browser offers
// that, by hand on iPhones and iPads, whose browsers do not. Put away once, it never comes again on
// this device; nor is it there where the page is opened from the home screen already.
import { part } from "../site/dom.js";

/** @typedef {Event & {prompt: () => Promise<unknown>}} InstallPrompt Chromium's, before it installs */

const PUT_AWAY = "fillwright-home-screen";

/** A browser may refuse to keep anything. @param {string} [value] */
function putAway(value) {
  try {
    if (value) localStorage.setItem(PUT_AWAY, value);
    return localStorage.getItem(PUT_AWAY) !== null;
  } catch {
    return true;
  }
}

/** Only browsers of iPhones and iPads have `standalone`: whether it was opened from there. */
const openedFrom = () => /** @type {{standalone?: boolean}} */ (navigator).standalone;
const isInstalled = () => openedFrom() === true || matchMedia("(display-mode: standalone)").matches;

/** @param {HTMLElement} hint @param {string} way */
function show(hint, way) {
  part(hint, way).hidden = false;
  hint.hidden = false;
}

/** @param {HTMLElement} hint @param {InstallPrompt} install */
function offer(hint, install) {
  const button = part(hint, "[data-install]");
  button.hidden = false;
  show(hint, "[data-by-button]");
  button.addEventListener("click", () => install.prompt().finally(() => end(hint)), { once: true });
}

/** @param {HTMLElement} hint */
function end(hint) {
  putAway("1");
  hint.hidden = true;
}

export function start() {
  const hint = document.querySelector("[data-home-screen]");
  if (!(hint instanceof HTMLElement) || isInstalled()) return;
  part(hint, "[data-put-away]").addEventListener("click", () => end(hint));
  addEventListener("appinstalled", () => end(hint));
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    if (!putAway() && hint.hidden) offer(hint, /** @type {InstallPrompt} */ (event));
  });
  if (openedFrom() === false && !putAway()) show(hint, "[data-by-hand]");
}
