// What waits on this device, in words. Pure: no page, no store.

/** @typedef {{entries?: number, takes?: number, changes?: number}} Waiting how many of each */

/**
 * "1 entry", "2 entries and 1 take"; "" for nothing.
 *
 * @param {Waiting} waiting
 */
export function inWords({ entries = 0, takes = 0, changes = 0 }) {
  const parts = [counted(entries, "entry", "entries"), counted(takes, "take", "takes"), counted(changes, "change", "changes")];
  const said = parts.filter(Boolean);
  const last = said.pop() ?? "";
  return said.length ? `${said.join(", ")} and ${last}` : last;
}

/** @param {Waiting} waiting */
export const total = ({ entries = 0, takes = 0, changes = 0 }) => entries + takes + changes;

/**
 * @param {number} number
 * @param {string} one
 * @param {string} many
 */
function counted(number, one, many) {
  if (!number) return "";
  return number === 1 ? `1 ${one}` : `${number.toLocaleString("en")} ${many}`;
}
