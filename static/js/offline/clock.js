// Which day it is for a student, whatever this device's clock says. All times are in
// milliseconds since 1970; a day is written as 2026-11-25.

/**
 * The day in a time zone.
 *
 * @param {string} zone such as "Europe/Berlin"
 * @param {number} time
 */
export function dayIn(zone, time) {
  const parts = new Intl.DateTimeFormat("en-u-ca-gregory-nu-latn", {
    timeZone: zone,
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
  }).formatToParts(new Date(time));
  /** @param {Intl.DateTimeFormatPartTypes} type */
  const part = (type) => parts.find((one) => one.type === type)?.value ?? "";
  return `${part("year").padStart(4, "0")}-${part("month")}-${part("day")}`;
}

/**
 * When an entry was made, by the server's clock. It cannot have been before the server was last
 * heard of, nor after now, even where somebody has set this device's clock in the meantime.
 *
 * @param {Pick<import("./store.js").Entry, "made" | "seen">} entry
 * @param {number} here a moment on this device's clock
 * @param {number} there the same moment on the server's
 */
export function whenMade(entry, here, there) {
  const made = entry.made + (there - here);
  return Math.min(Math.max(made, entry.seen ?? made), there);
}
