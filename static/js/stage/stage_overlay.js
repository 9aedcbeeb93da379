// Over everything, in the same page: full screen where the browser has it, the rest of the page out
// of reach, and an entry in the history, so that the phone's own button leaves the stage alone.
import { TypedEvents } from "../site/typed_events.js";

/** @extends {TypedEvents<{left: {}}>} */
export class Overlay extends TypedEvents {
  /** @type {HTMLElement | null} */
  #opener = null;
  /** @type {HTMLElement[]} */
  #outside = [];
  /** @type {(() => void) | null} */
  #closed = null;

  /** @param {HTMLElement} root */
  constructor(root) {
    super();
    this.root = root;
    addEventListener("popstate", () => this.isOpen && this.#leave());
    document.addEventListener("fullscreenchange", () => {
      // Esc and a swipe leave the full screen before the page hears of them.
      if (!document.fullscreenElement && this.isOpen && !this.#closed) this.close();
    });
  }

  get isOpen() {
    return !this.root.hidden;
  }

  /** @param {HTMLElement | null} opener to which the focus returns */
  open(opener) {
    this.#opener = opener;
    this.root.hidden = false;
    document.documentElement.classList.add("on-stage");
    this.#outside = around(this.root).filter((one) => !one.inert);
    for (const one of this.#outside) one.inert = true;
    history.pushState({ stage: true }, "", location.pathname + location.search);
    this.root.focus({ preventScroll: true });
    if (opener) this.root.requestFullscreen?.({ navigationUI: "hide" }).catch(() => {});
  }

  /** Resolves once the history is as before. @returns {Promise<void>} */
  close() {
    if (!this.isOpen || this.#closed) return Promise.resolve();
    return new Promise((resolve) => {
      this.#closed = resolve;
      history.back();
    });
  }

  #leave() {
    this.root.hidden = true;
    document.documentElement.classList.remove("on-stage");
    for (const one of this.#outside) one.inert = false;
    const leaving = document.fullscreenElement ? document.exitFullscreen().catch(() => {}) : Promise.resolve();
    // Only a page that is as before takes the focus.
    leaving.then(() => this.#opener?.focus());
    this.say("left", {});
    this.#closed?.();
    this.#closed = null;
  }
}

/** All that is on the page beside an element and what it is in. @param {HTMLElement} root */
function around(root) {
  /** @type {HTMLElement[]} */
  const found = [];
  for (let inner = root; inner.parentElement && inner !== document.body; inner = inner.parentElement) {
    for (const one of inner.parentElement.children) {
      if (one !== inner && one instanceof HTMLElement) found.push(one);
    }
  }
  return found;
}
