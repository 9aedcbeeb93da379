// Signing out with entries that are not sent yet: send them first, else say what becomes of them.
import { device, isUsable, send } from "./queue.js";
import * as store from "./store.js";

const PATIENCE = 5_000; // milliseconds

async function waiting() {
  const entries = await store.all().catch(() => []);
  return entries.filter((entry) => String(entry.student) === device.dataset.student).length;
}

async function leave(form, dialog) {
  if (await waiting()) {
    await Promise.race([send(), new Promise((resolve) => setTimeout(resolve, PATIENCE))]);
  }
  const left = await waiting();
  if (!left) return form.submit();
  const they = left === 1 ? "1 entry is" : `${left} entries are`;
  dialog.querySelector("[data-said]").textContent =
    `${they} still on this device only. When you open your personal link here again, what waits is sent. On another device it is not there.`;
  dialog.addEventListener("close", () => dialog.returnValue === "sign-out" && form.submit(), { once: true });
  dialog.returnValue = "";
  dialog.showModal();
}

export function start() {
  const dialog = device?.querySelector("[data-sign-out-dialog]");
  const form = document.querySelector(".account form");
  if (!isUsable || !dialog || !form) return;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    leave(form, dialog);
  });
}
