// What was set on this page of how it is played: the stage that the page opens goes by it too.

/** @typedef {import("./settings.js").Asked} Asked */

/** @type {Partial<Asked>} */
let asked = {};

/** @returns {Partial<Asked>} */
export const askedHere = () => ({ ...asked });

/** @param {Partial<Asked>} changes */
export function askHere(changes) {
  asked = { ...asked, ...changes };
}
