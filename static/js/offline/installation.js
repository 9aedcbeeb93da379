// The worker that keeps the pages.
import { device, queue } from "./queue.js";

/**
 * @typedef {object} Keep what the worker is asked to copy again
 * @property {string} keep the address of the page that is looked at
 * @property {boolean} [changed] whether something was logged since
 */

/** @param {Keep} message */
async function tellWorker(message) {
  const { active } = await navigator.serviceWorker.ready;
  active?.postMessage(message);
}

export function start() {
  if (!device?.dataset.student || !("serviceWorker" in navigator)) return;
  navigator.serviceWorker.register(device.dataset.worker, { updateViaCache: "none" }).catch(() => {});
  const keep = () => navigator.onLine && tellWorker({ keep: location.pathname });
  if (document.readyState === "complete") keep();
  else addEventListener("load", keep);
  addEventListener("online", keep);
  for (const what of ["logged", "said"]) {
    queue.addEventListener(what, () => tellWorker({ keep: location.pathname, changed: true }));
  }
}
