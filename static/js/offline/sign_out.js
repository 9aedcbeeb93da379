// Signing out with something that is not sent yet: send them first, else say what becomes of them.
import { part } from "../site/dom.js";
import * as laterRequests from "./later_requests.js";
import { device, isUsable, send } from "./queue.js";
import * as store from "./store.js";
import { inWords, total } from "./waiting_words.js";

const PATIENCE = 5_000; // milliseconds

async function waiting() {
  const entries = await store.all().catch(() => []);
  const own = entries.filter((entry) => String(entry.student) === device.dataset.student);
  return { entries: own.length, ...laterRequests.waiting() };
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLDialogElement} dialog
 */
async function leave(form, dialog) {
  if (total(await waiting())) {
    const sending = async () => {
      await send();
      await laterRequests.sendAll();
    };
    await Promise.race([sending(), new Promise((resolve) => setTimeout(resolve, PATIENCE))]);
  }
  const left = await waiting();
  if (!total(left)) {
    form.submit();
    return;
  }
  const they = `${inWords(left)} ${total(left) === 1 ? "is" : "are"}`;
  part(dialog, "[data-message]").textContent =
    `${they} still on this device only. When you open your personal link here again, what waits is sent. On another device it is not there.`;
  dialog.addEventListener("close", () => dialog.returnValue === "sign-out" && form.submit(), { once: true });
  dialog.returnValue = "";
  dialog.showModal();
}

export function start() {
  const dialog = device?.querySelector("[data-sign-out-dialog]");
  const form = document.querySelector(".account form");
  if (!isUsable || !(dialog instanceof HTMLDialogElement) || !(form instanceof HTMLFormElement)) return;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    leave(form, dialog);
  });
}
