// Practice on its way from a run into the log: through this device's queue, or, where a browser
// keeps nothing, straight to the server.
import { dayIn } from "../offline/clock.js";
import { device, isUsable, logPractice } from "../offline/queue.js";
import { csrfToken } from "../offline/sync.js";

/**
 * Practice as the log takes it in; `clean_loops` is told afterwards.
 *
 * @typedef {object} LogEntry
 * @property {string} id
 * @property {number | null} variation
 * @property {number} minutes
 * @property {number} tempo
 * @property {number | null} loops
 * @property {boolean} recheck
 * @property {number | null} [clean_loops]
 */

const AGAIN = 10_000; // milliseconds
const LEAST = 0.1; // minutes

// `crypto.randomUUID` is there on secure pages alone, and some studios run on their own network.
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}


/**
 * @param {import("./practice_run.js").PlayedItem} played
 * @returns {LogEntry}
 */
export function entryOf({ item, loops, seconds, tempo }) {
  return {
    id: newId(),
    variation: item.variation,
    minutes: Math.max(LEAST, Math.round(seconds / 6) / 10),
    tempo,
    loops: loops || null,
    recheck: item.recheck,
  };
}

/**
 * @param {LogEntry} fields
 * @param {string} said the fill in words
 */
export async function log(fields, said) {
  const { id, ...rest } = fields;
  if (isUsable) {
    await logPractice(rest, said, id);
    return;
  }
  await post({ ...fields, student: Number(device.dataset.student), day: dayIn(device.dataset.zone, Date.now()) });
}

/** The same id again is logged once, so trying again is safe. @param {LogEntry & {student: number, day: string}} entry */
async function post(entry) {
  try {
    const answer = await fetch(device.dataset.entries, {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-CSRFToken": csrfToken() },
      body: JSON.stringify(entry),
      keepalive: true,
    });
    if (answer.status >= 500) throw new Error(String(answer.status));
  } catch {
    setTimeout(post, AGAIN, entry);
  }
}
