// What a device counts while it is played: one entry that grows. Two copies of it, of whatever
// age, make one by the rules of assignments/practice/counted_practice.py. Pure; and a journal in
// localStorage for what a page has no time to keep elsewhere when it is closed.

/** @typedef {import("./store.js").Entry} Entry */
/** @typedef {import("./store.js").Fields} Fields */

const NAME = "fillwright-counting";
const ANSWER = ["clean_loops", "felt", "note"];

/**
 * One entry that holds what both say. Where that is more than `there` holds, it is to be sent.
 *
 * @param {Entry} there
 * @param {Entry} come
 * @returns {Entry}
 */
export function grown(there, come) {
  const fields = joined(there.fields, come.fields);
  const tried = Boolean(there.tried || there.sent);
  if (isSame(fields, there.fields)) return { ...there, tried };
  const day = there.sent ? JSON.parse(there.sent).day : undefined;
  return { ...there, fields: { ...fields, ...(day && { day }) }, tried, sent: null, refused: null };
}

/**
 * @param {Fields} one
 * @param {Fields} other
 * @returns {Fields}
 */
function joined(one, other) {
  const longer = Number(other.seconds) > Number(one.seconds) ? other : one;
  const later = Number(other.answered) > Number(one.answered) ? other : one;
  /** @type {Fields} */
  const fields = { ...one, ...longer };
  for (const name of ["answered", ...ANSWER]) fields[name] = later[name];
  fields.loops = Math.max(Number(one.loops), Number(other.loops)) || null;
  fields.undone = Boolean(one.undone || other.undone);
  return fields;
}

/**
 * @param {Fields} one
 * @param {Fields} other
 */
function isSame(one, other) {
  const names = new Set([...Object.keys(one), ...Object.keys(other)]);
  names.delete("day");
  return [...names].every((name) => one[name] === other[name]);
}

/** What was on its way into the store when a page was closed. @returns {Entry[]} */
export function journal() {
  try {
    return Object.values(JSON.parse(localStorage.getItem(NAME) ?? "{}") ?? {});
  } catch {
    return [];
  }
}

/** Note it at once, whatever becomes of the page. @param {Entry} entry */
export const note = (entry) => write((all) => ({ ...all, [entry.id]: entry }));

/** The same is in the store by now. @param {Entry} entry */
export function strike(entry) {
  const same = JSON.stringify(entry);
  write((all) => Object.fromEntries(Object.entries(all).filter(([, one]) => JSON.stringify(one) !== same)));
}

/** @param {(all: Record<string, Entry>) => Record<string, Entry>} change */
function write(change) {
  const all = Object.fromEntries(journal().map((entry) => [entry.id, entry]));
  try {
    localStorage.setItem(NAME, JSON.stringify(change(all)));
  } catch {
    // No room, or nothing may be kept: the store has it a moment later.
  }
}
