// What somebody sets on a grid while the server answers is newer than that answer: it stays, by its
// name, until an answer has it.

/** @typedef {CustomEvent<{elt: Element, successful?: boolean}>} Asked */

/** What was set, by the name of what it was set on: {name: value}, in the order of the deeds. */
export class Unanswered {
  /** @type {Map<string, string>} not asked about yet */
  #waiting = new Map();
  /** @type {Map<string, string>} in the request that is not answered yet */
  #asked = new Map();

  /** What no request has yet. */
  get waiting() {
    return this.#waiting;
  }

  /** How many are in no answer. */
  get size() {
    return this.#waiting.size + this.#asked.size;
  }

  /** @param {string} name @param {string} value */
  set(name, value) {
    this.#waiting.delete(name);
    this.#waiting.set(name, value);
  }

  /** All that waits is in a request now. */
  ask() {
    this.#asked = this.#waiting;
    this.#waiting = new Map();
  }

  /** What was asked about is answered. */
  answered() {
    this.#asked.clear();
  }

  /** What was asked about is in no answer: it waits again. */
  giveBack() {
    const newer = this.#waiting;
    this.#waiting = this.#asked;
    this.#asked = new Map();
    for (const [name, value] of newer) this.set(name, value);
  }
}

/**
 * Choose in a select what was chosen in the one that stood there before.
 *
 * @param {string} id
 * @param {string} value
 */
export function chooseAgain(id, value) {
  const select = document.getElementById(id);
  if (!(select instanceof HTMLSelectElement)) return;
  if ([...select.options].some((option) => option.value === value)) select.value = value;
}

/**
 * Let a form be sent only when the server has answered what was set in it.
 *
 * @param {HTMLFormElement} form
 * @param {() => boolean} isUnanswered
 * @param {() => void} ask ask the server about it, where nothing is asked yet
 * @returns {(isAnswered: boolean) => void} to call after each request: whether it had an answer
 */
export function sentWhenAnswered(form, isUnanswered, ask) {
  /** @type {HTMLElement | null} */
  let button = null;
  form.addEventListener("submit", (event) => {
    button = isUnanswered() ? event.submitter : null;
    if (!button) return;
    event.preventDefault();
    ask();
  });
  return (isAnswered) => {
    const pressed = button;
    if (!pressed || (isAnswered && isUnanswered())) return;
    button = null;
    if (isAnswered) form.requestSubmit(pressed);
  };
}
