// Entries as they are kept on a device, and an empty store for each test.
import * as store from "../../../static/js/offline/store.js";

/** @typedef {import("../../../static/js/offline/store.js").Entry} Entry */

export const STUDENT = 7;

/**
 * @param {string} id
 * @param {Partial<Entry>} given
 * @returns {Entry}
 */
export const anEntry = (id, given = {}) => ({
  id,
  student: STUDENT,
  made: Date.parse("2026-11-25T12:00Z"),
  seen: null,
  fields: { minutes: "5" },
  said: "Line 4",
  page: "/fills/7/",
  sent: null,
  refused: null,
  ...given,
});

export async function emptyStore() {
  for (const { id } of await store.all()) await store.alter(id, () => null);
}

/** The ids of all that is kept, in order. */
export const keptIds = async () => (await store.all()).map(({ id }) => id);
