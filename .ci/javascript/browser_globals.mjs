// Gives Node what browsers have and the scripts take for granted: IndexedDB, Web Locks, and,
// on Node 18, random values and CustomEvent. Loaded before each file of tests.
import { webcrypto } from "node:crypto";
import "fake-indexeddb/auto";

/** A lock of a name is given to one after the other (W3C Web Locks, exclusive). */
class LockManager {
  #last = new Map();

  request(name, act) {
    const before = this.#last.get(name) ?? Promise.resolve();
    const mine = before.then(() => act({ name }));
    this.#last.set(name, mine.catch(() => {}));
    return mine;
  }
}

/** A channel that does not keep a test from ending. */
class QuietChannel extends BroadcastChannel {
  constructor(name) {
    super(name);
    this.unref();
  }
}

class CustomEventOfNode18 extends Event {
  constructor(type, { detail = null, ...options } = {}) {
    super(type, options);
    this.detail = detail;
  }
}

globalThis.crypto ??= webcrypto;
globalThis.CustomEvent ??= CustomEventOfNode18;
globalThis.BroadcastChannel = QuietChannel;
// Node 21 has one of its own, which says nothing of a network.
Object.defineProperty(globalThis, "navigator", {
  configurable: true,
  writable: true,
  value: { onLine: true, locks: new LockManager() },
});
