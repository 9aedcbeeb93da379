// What waits beside the entries of the log, in the order in which it was done: a list on this
// device (localStorage), and what is kept of it when something is added. No network here.

/** @typedef {{name: string, type: string, data: string}} KeptFile a file of a form, in base 64 */
/** @typedef {[name: string, value: string | KeptFile]} Field of a form, as it is posted */

/**
 * Something to be sent: JSON `content` for the API, or the `fields` of a form.
 *
 * @typedef {object} LaterRequest
 * @property {string} id UUID, made here; the server takes a form of each id once
 * @property {string | undefined} student whose it is
 * @property {"PATCH" | "POST"} method
 * @property {string} address
 * @property {string | null} entry that must be logged before
 * @property {object} [content]
 * @property {Field[]} [fields]
 * @property {string} [key] what a later one of the same address does not replace
 * @property {string} [said] what it is, in words
 * @property {string} [page] the address of the page where the form stands
 * @property {boolean} [tried] whether it may be on the server
 * @property {string[]} [refused] why the server did not take it, in words
 * @property {import("./form_problems.js").Words} [problems] the same by the fields of a form
 */

const NAME = "fillwright-afterwards";

/** @returns {LaterRequest[]} */
export function read() {
  try {
    return JSON.parse(localStorage.getItem(NAME) ?? "[]") ?? [];
  } catch {
    return [];
  }
}

/**
 * Write the list as it is to be now; false where this browser keeps nothing, or has no room.
 *
 * @param {LaterRequest[]} all
 */
export function write(all) {
  try {
    localStorage.setItem(NAME, JSON.stringify(all));
    return true;
  } catch {
    return false;
  }
}

/**
 * The list with one more: what says the same thing anew takes the place of the word before.
 *
 * @param {LaterRequest[]} all
 * @param {LaterRequest} one
 */
export const withOne = (all, one) => [...all.filter((other) => keyOf(other) !== keyOf(one)), one];

/** @param {LaterRequest} request */
const keyOf = ({ student, method, address, key = "" }) => `${student} ${method} ${address} ${key}`;

/**
 * What a request is about: what is done to one thing goes in order, and one thing that is held up
 * does not hold up another.
 *
 * @param {string} address
 */
export function thingOf(address) {
  const { pathname } = new URL(address, "http://here");
  return pathname.match(/[\da-f]{8}(-[\da-f]{4}){3}-[\da-f]{12}/)?.[0] ?? pathname.match(/\/\d+\//)?.[0] ?? pathname;
}
