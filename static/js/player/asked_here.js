// What was set on this page of how it is played: all its players go by it, that of the stage too.

/** @typedef {import("./settings.js").Asked} Asked */
/** @typedef {(changes: Partial<Asked>) => void} Listener */

/** @type {Partial<Asked>} */
let asked = {};
/** @type {Listener[]} */
const listeners = [];

/** @returns {Partial<Asked>} */
export const askedHere = () => ({ ...asked });

/** @param {Listener} listener called with every change */
export function onAsked(listener) {
  listeners.push(listener);
}

/** @param {Partial<Asked>} changes */
export function askHere(changes) {
  asked = { ...asked, ...changes };
  for (const listener of listeners) listener(changes);
}
