// The worker that keeps the pages, and the button that puts them on the home screen.
import { device, queue } from "./queue.js";

async function tellWorker(said) {
  const { active } = await navigator.serviceWorker.ready;
  active.postMessage(said);
}

function offerInstalling() {
  const button = document.querySelector("[data-install]");
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    button.hidden = false;
    button.addEventListener("click", () => event.prompt().finally(() => (button.hidden = true)), { once: true });
  });
  addEventListener("appinstalled", () => (button.hidden = true));
}

export function start() {
  if (!device?.dataset.student || !("serviceWorker" in navigator)) return;
  navigator.serviceWorker.register(device.dataset.worker, { updateViaCache: "none" }).catch(() => {});
  if (document.querySelector("[data-install]")) offerInstalling();
  const keep = () => navigator.onLine && tellWorker({ keep: location.pathname });
  if (document.readyState === "complete") keep();
  else addEventListener("load", keep);
  addEventListener("online", keep);
  queue.addEventListener("logged", () => tellWorker({ keep: location.pathname, changed: true }));
}
