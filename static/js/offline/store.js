// What was logged on this device and is not yet known to be on the server: IndexedDB.

/** @typedef {Record<string, string | number | boolean | null>} Fields what was typed, by the form's names */
/** @typedef {{code?: string, message?: string}} Problem */
/** @typedef {Record<string, Problem | Problem[]>} Problems what the server found wrong, by field */

/**
 * An entry as it is kept.
 *
 * @typedef {object} Entry
 * @property {string} id UUID, made here; the server logs each id once
 * @property {number} student the number of the student who logged it
 * @property {number} made milliseconds since 1970 by this device's clock
 * @property {number | null} seen milliseconds since 1970 by the server's clock when it was last heard of
 * @property {Fields} fields minutes, and whatever else the form has; without a day where the student
 *   chose none
 * @property {string} said the fill in words
 * @property {string} page the address of the page it was logged on
 * @property {string | null} sent what was sent to the server, word for word; null before the first try
 * @property {Problems | null} refused
 * @property {boolean} [tried] of one that grows: whether something of it may be on the server
 */

/** @typedef {"entries" | "facts"} StoreName */

const NAME = "fillwright";
const VERSION = 1;

/** @type {Promise<IDBDatabase> | undefined} */
let opening;

function open() {
  opening ??= /** @type {Promise<IDBDatabase>} */ (new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("entries", { keyPath: "id" });
      request.result.createObjectStore("facts");
    };
    request.onsuccess = () => {
      // A later version of the site may want to change the stores: make way for it.
      request.result.onversionchange = () => {
        request.result.close();
        opening = undefined;
      };
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("Another page keeps the database open."));
  })).catch((error) => {
    opening = undefined;
    throw error;
  });
  return opening;
}

/**
 * Run `act` in one transaction; resolve with its request's result once that is on disk.
 *
 * @template Result
 * @param {StoreName[]} stores
 * @param {IDBTransactionMode} mode
 * @param {(transaction: IDBTransaction) => IDBRequest<Result>} act
 * @returns {Promise<Result>}
 */
async function within(stores, mode, act) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, mode, { durability: "strict" });
    const request = act(transaction);
    transaction.oncomplete = () => resolve(request.result);
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

/** @param {IDBTransaction} transaction */
const entries = (transaction) => transaction.objectStore("entries");

/** @param {Entry} entry */
export const keep = (entry) => within(["entries"], "readwrite", (tx) => entries(tx).put(entry));

/**
 * Change the entry with this id at one go, as long as it is there: `change` says what it is from
 * now on, or null for not at all. Resolve with what `change` was told, and what it said.
 *
 * @param {string} id
 * @param {(there: Entry | undefined) => Entry | null | undefined} change undefined: leave it
 */
export async function alter(id, change) {
  /** @type {{before: Entry | undefined, after: Entry | null | undefined}} */
  const told = { before: undefined, after: undefined };
  await within(["entries"], "readwrite", (tx) => {
    const request = entries(tx).get(id);
    request.onsuccess = () => {
      told.before = request.result;
      told.after = change(request.result);
      if (told.after) entries(tx).put(told.after);
      if (told.after === null) entries(tx).delete(id);
    };
    return request;
  });
  return told;
}

/**
 * Keep a new entry; resolve with its id. Where the id is in use it gets another one, so that no
 * entry is ever written over; only one that was refused is replaced by what it says now.
 *
 * @param {Entry} entry
 * @param {string} otherId
 */
export async function takeIn(entry, otherId) {
  let { id } = entry;
  await within(["entries"], "readwrite", (tx) => {
    const request = entries(tx).get(id);
    request.onsuccess = () => {
      if (request.result && !request.result.refused) id = otherId;
      entries(tx).put({ ...entry, id });
    };
    return request;
  });
  return id;
}

/**
 * @param {string} id
 * @returns {Promise<Entry | undefined>}
 */
export const find = (id) => within(["entries"], "readonly", (tx) => entries(tx).get(id));

/** All entries, in the order in which they were logged. */
export async function all() {
  /** @type {Entry[]} */
  const found = await within(["entries"], "readonly", (tx) => entries(tx).getAll());
  return found.sort((one, other) => one.made - other.made);
}

/**
 * Put an entry in the place of the one that had the id before, at one go.
 *
 * @param {string} id
 * @param {Entry} entry
 */
export const replace = (id, entry) =>
  within(["entries"], "readwrite", (tx) => {
    entries(tx).delete(id);
    return entries(tx).put(entry);
  });

/** Drop an entry unless it may be on the server; resolve with whether it is gone. @param {string} id */
export async function dropUnsent(id) {
  const { after } = await alter(id, (there) => (there && (!mayBeThere(there) || there.refused) ? null : undefined));
  return after === null;
}

/** Whether the server may have it, or something of it. @param {Entry} entry */
export const mayBeThere = ({ sent, tried }) => Boolean(sent || tried);

/**
 * A fact: `seen`, the server's clock when it was last heard of, or `ahead`, by how much this
 * device's clock is ahead of it, in milliseconds.
 *
 * @param {"seen" | "ahead"} name
 * @returns {Promise<number | undefined>}
 */
export const fact = (name) =>
  within(["facts"], "readonly", (tx) => tx.objectStore("facts").get(name));

/**
 * @param {"seen" | "ahead"} name
 * @param {number} value
 */
export const keepFact = (name, value) =>
  within(["facts"], "readwrite", (tx) => tx.objectStore("facts").put(value, name));
