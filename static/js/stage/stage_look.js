// How large and how bright the stage is, kept on the device.
import { every, part } from "../site/dom.js";
import { TypedEvents } from "../site/typed_events.js";

/** @typedef {{step: number, dim: boolean}} Kept step: -1 smaller, 0, 1 larger */

const KEY = "fillwright-stage";

/** @extends {TypedEvents<{change: {}}>} */
export class Look extends TypedEvents {
  /** @param {HTMLElement} root */
  constructor(root) {
    super();
    this.root = root;
    /** @type {Kept} */
    this.kept = { step: 0, dim: false, ...read() };
    for (const button of every(root, "[data-stage-size]", HTMLButtonElement)) {
      button.addEventListener("click", () => {
        const step = this.step + Number(button.dataset.stageSize);
        if (Math.abs(step) <= 1) this.#set({ step });
      });
    }
    part(root, "[data-stage-dim]").addEventListener("click", () => this.#set({ dim: !this.kept.dim }));
    this.#show();
  }

  get step() {
    return this.kept.step;
  }

  /** @param {Partial<Kept>} what */
  #set(what) {
    this.kept = { ...this.kept, ...what };
    try {
      localStorage.setItem(KEY, JSON.stringify(this.kept));
    } catch {
      // Where nothing may be kept, it is so until the page is left.
    }
    this.#show();
    this.say("change", {});
  }

  #show() {
    this.root.toggleAttribute("data-dim", this.kept.dim);
    this.root.dataset.step = String(this.step);
    part(this.root, "[data-stage-dim]").setAttribute("aria-pressed", String(this.kept.dim));
    for (const button of every(this.root, "[data-stage-size]", HTMLButtonElement)) {
      const isAtEnd = this.step === Number(button.dataset.stageSize);
      button.setAttribute("aria-disabled", String(isAtEnd));
    }
  }
}

/** @returns {Partial<Kept>} */
function read() {
  try {
    const { step, dim } = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    return { ...([-1, 0, 1].includes(step) ? { step } : {}), dim: dim === true };
  } catch {
    return {};
  }
}
