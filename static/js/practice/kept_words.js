// What is said of practice that saves itself. Pure.

/** @typedef {"none" | "saved" | "waiting" | "undone" | "refused"} KeptState */
/** @typedef {{loops: number, seconds: number, tempo: number | null}} Count */

const SHORTEST = 20; // seconds; less, without a whole time through, is a try

/** Whether it is worth keeping. @param {Count} count */
export const isPractice = ({ loops, seconds }) => loops > 0 || seconds >= SHORTEST;

/** Minutes as the log keeps them: one decimal, never none. @param {number} seconds */
export const minutesOf = (seconds) => Math.max(0.1, Math.round(seconds / 6) / 10);

/** "40 seconds", "2.5 min", "12 min". @param {number} seconds */
export function timeInWords(seconds) {
  const whole = Math.round(seconds);
  if (whole < 60) return `${whole} ${whole === 1 ? "second" : "seconds"}`;
  const halves = Math.round(seconds / 30) / 2;
  return `${halves < 10 ? halves : Math.round(seconds / 60)} min`;
}

/** "once through", "4 times through" @param {number} loops */
export const timesInWords = (loops) => (loops === 1 ? "once through" : `${loops} times through`);

/** "2 min at 88, 3 times through" @param {Count} count */
export function countInWords({ loops, seconds, tempo }) {
  const at = tempo ? ` at ${Math.round(tempo)}` : "";
  return `${timeInWords(seconds)}${at}${loops ? `, ${timesInWords(loops)}` : ""}`;
}

/**
 * @param {KeptState} state
 * @param {Count} count
 * @param {string} why it was refused
 */
export function lineOf(state, count, why = "") {
  if (state === "none") return `Not saved: ${timeInWords(count.seconds)}.`;
  const what = countInWords(count);
  if (state === "saved") return `Saved: ${what}.`;
  if (state === "waiting") return `Saved on this phone, sent later: ${what}.`;
  if (state === "undone") return `Removed: ${what}.`;
  return `Not saved: ${what}. ${why}`.trim();
}
