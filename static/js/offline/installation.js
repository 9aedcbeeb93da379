// The worker that keeps the pages, and the button that puts them on the home screen.
import { device, queue } from "./queue.js";

/**
 * @typedef {object} Keep what the worker is asked to copy again
 * @property {string} keep the address of the page that is looked at
 * @property {boolean} [changed] whether something was logged since
 */
/** @typedef {Event & {prompt: () => Promise<unknown>}} InstallPrompt Chromium's, before it installs */

/** @param {Keep} message */
async function tellWorker(message) {
  const { active } = await navigator.serviceWorker.ready;
  active?.postMessage(message);
}

/** @param {HTMLElement} button */
function offerInstalling(button) {
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    button.hidden = false;
    const install = /** @type {InstallPrompt} */ (event);
    button.addEventListener("click", () => install.prompt().finally(() => (button.hidden = true)), { once: true });
  });
  addEventListener("appinstalled", () => (button.hidden = true));
}

export function start() {
  if (!device?.dataset.student || !("serviceWorker" in navigator)) return;
  navigator.serviceWorker.register(device.dataset.worker, { updateViaCache: "none" }).catch(() => {});
  const button = document.querySelector("[data-install]");
  if (button instanceof HTMLElement) offerInstalling(button);
  const keep = () => navigator.onLine && tellWorker({ keep: location.pathname });
  if (document.readyState === "complete") keep();
  else addEventListener("load", keep);
  addEventListener("online", keep);
  for (const what of ["logged", "said"]) {
    queue.addEventListener(what, () => tellWorker({ keep: location.pathname, changed: true }));
  }
}
