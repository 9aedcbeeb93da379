// Practice of a page whose browser keeps nothing: sent straight away, and again until it is
// there. The same id again is logged once, and the server keeps the longest count.
import { dayIn } from "../offline/clock.js";
import { device } from "../offline/queue.js";
import { csrfToken } from "../offline/sync.js";

/** @typedef {import("../offline/queue.js").Growing} Growing */

const AGAIN = 10_000; // milliseconds

/** @param {Growing} entry */
export async function sendPlainly(entry) {
  const { id, fields, made } = entry;
  const body = JSON.stringify({ day: dayIn(device.dataset.zone, made), ...fields, id, student: Number(device.dataset.student) });
  const headers = { "Content-Type": "application/json", "X-CSRFToken": csrfToken() };
  try {
    const answer = await fetch(device.dataset.entries, { method: "POST", headers, body, keepalive: true });
    if (answer.status >= 500) throw new Error(String(answer.status));
  } catch {
    setTimeout(sendPlainly, AGAIN, entry);
  }
}
