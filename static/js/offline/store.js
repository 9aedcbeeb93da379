// What was logged on this device and is not yet known to be on the server: IndexedDB.
//
// An entry as it is kept:
//   id       UUID, made here; the server logs each id once
//   student  the number of the student who logged it
//   made     milliseconds since 1970 by this device's clock
//   seen     milliseconds since 1970 by the server's clock when it was last heard of, or null
//   fields   what was typed: minutes, and whatever else the form has; without a day where the
//            student chose none
//   said     the fill in words
//   sent     what was sent to the server, word for word, or null before the first try
//   refused  what the server found wrong with it, by field, or null
const NAME = "fillwright";
const VERSION = 1;

let opening;

function open() {
  opening ??= new Promise((resolve, reject) => {
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
  }).catch((error) => {
    opening = undefined;
    throw error;
  });
  return opening;
}

// Run `act` in one transaction; resolve with its request's result once that is on disk.
async function within(stores, mode, act) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(stores, mode, { durability: "strict" });
    const request = act(transaction);
    transaction.oncomplete = () => resolve(request?.result);
    transaction.onabort = transaction.onerror = () => reject(transaction.error);
  });
}

const entries = (transaction) => transaction.objectStore("entries");

export const keep = (entry) => within(["entries"], "readwrite", (tx) => entries(tx).put(entry));
// Keep a new entry; resolve with its id. Where the id is in use it gets another one, so that no
// entry is ever written over; only one that was refused is replaced by what it says now.
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

export const drop = (id) => within(["entries"], "readwrite", (tx) => entries(tx).delete(id));
export const find = (id) => within(["entries"], "readonly", (tx) => entries(tx).get(id));

// All entries, in the order in which they were logged.
export async function all() {
  const found = await within(["entries"], "readonly", (tx) => entries(tx).getAll());
  return found.sort((one, other) => one.made - other.made);
}

// Put an entry in the place of the one that had the id before, at one go.
export const replace = (id, entry) =>
  within(["entries"], "readwrite", (tx) => {
    entries(tx).delete(id);
    return entries(tx).put(entry);
  });

// Drop an entry unless it may be on the server; resolve with whether it is gone.
export async function dropUnsent(id) {
  let gone = false;
  await within(["entries"], "readwrite", (tx) => {
    const request = entries(tx).get(id);
    request.onsuccess = () => {
      gone = Boolean(request.result) && (!request.result.sent || Boolean(request.result.refused));
      if (gone) entries(tx).delete(id);
    };
    return request;
  });
  return gone;
}

export const fact = (name) =>
  within(["facts"], "readonly", (tx) => tx.objectStore("facts").get(name));
export const keepFact = (name, value) =>
  within(["facts"], "readwrite", (tx) => tx.objectStore("facts").put(value, name));
