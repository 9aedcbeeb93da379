// What is said of each fill after playing, corrected: how many of its times through came out clean,
// and a note to the teacher. What was typed is saved by Save, and by leaving.
import { around, copyOf, every, one, part } from "../site/dom.js";
import { TypedEvents } from "../site/typed_events.js";
import { cleanOf, playedInWords, timesOf } from "./stage_counts.js";

/** @typedef {import("./stage_counts.js").FillPlayed} FillPlayed */
/** @typedef {{fill: FillPlayed, clean: number | null}} Corrected */
/** @typedef {{row: HTMLElement, fill: FillPlayed, field: HTMLInputElement, error: HTMLElement}} Line */

/** @extends {TypedEvents<{said: {counts: Corrected[], note: string}}>} */
export class Change extends TypedEvents {
  /** @type {Line[]} */
  #lines = [];
  /** Whether anything was touched since it was saved. */
  #isDirty = false;

  /** @param {HTMLElement} panel */
  constructor(panel) {
    super();
    this.panel = panel;
    this.opener = one(panel, "[data-stage-change]", HTMLButtonElement);
    this.form = one(panel, "[data-stage-change-form]", HTMLFormElement);
    this.note = one(this.form, "[data-stage-note]", HTMLInputElement);
    this.opener.addEventListener("click", () => this.#open(this.form.hidden));
    this.form.addEventListener("input", () => (this.#isDirty = true));
    this.form.addEventListener("click", (event) => this.#step(event));
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (!this.#complain()) return;
      this.#say();
      this.#open(false);
      this.opener.focus();
    });
  }

  /** @param {FillPlayed[]} fills that are asked about */
  begin(fills) {
    this.#lines = fills.map((fill, number) => this.#line(fill, number));
    part(this.form, "[data-stage-lines]").replaceChildren(...this.#lines.map(({ row }) => row));
    part(this.form, "[data-stage-counts]").hidden = !fills.length;
    this.note.value = "";
    this.#isDirty = false;
    this.#open(false);
  }

  // It was said otherwise: the fields begin there.
  follow() {
    for (const { fill, field, error } of this.#lines) {
      field.value = String(cleanOf(fill) ?? "");
      complain(field, error, "");
    }
  }

  /** What is typed and not saved is, but for wrong numbers; false where these were not yet told. */
  leave() {
    if (!this.#isDirty) return true;
    const told = this.#lines.every(({ field, error }) => field.validity.valid || !error.hidden);
    if (!told) {
      this.#open(true);
      this.#complain();
      return false;
    }
    this.#say();
    return true;
  }

  #say() {
    const right = this.#lines.filter(({ field }) => field.validity.valid);
    const counts = right.map(({ fill, field }) => ({ fill, clean: field.value === "" ? null : Number(field.value) }));
    this.#isDirty = false;
    this.say("said", { counts, note: this.note.value.trim() });
  }

  /** @param {boolean} is */
  #open(is) {
    this.form.hidden = !is;
    this.opener.setAttribute("aria-expanded", String(is));
    this.panel.toggleAttribute("data-changing", is);
    if (is) this.form.scrollIntoView({ block: "nearest" });
  }

  /**
   * @param {FillPlayed} fill
   * @param {number} number
   * @returns {Line}
   */
  #line(fill, number) {
    const row = copyOf(this.panel, "[data-stage-line]");
    const field = one(row, "input", HTMLInputElement);
    const error = part(row, "[data-error]");
    const times = timesOf(fill);
    part(row, "[data-name]").textContent = fill.item.name;
    part(row, "[data-played]").textContent = playedInWords(fill);
    field.max = String(times);
    field.value = String(cleanOf(fill) ?? "");
    error.id = `stage-clean-${number}-error`;
    field.setAttribute("aria-label", `Clean, of ${times}: ${fill.item.name}`);
    for (const button of every(row, "[data-by]", HTMLButtonElement)) {
      button.setAttribute("aria-label", `${button.dataset.by === "1" ? "One more" : "One less"} clean: ${fill.item.name}`);
    }
    field.addEventListener("input", () => field.validity.valid && complain(field, error, ""));
    return { row, fill, field, error };
  }

  /** @param {MouseEvent} event on a button beside a field */
  #step(event) {
    const button = around(event, "[data-by]", HTMLButtonElement);
    const line = this.#lines.find(({ row }) => row.contains(button));
    if (!button || !line) return;
    const { field, error } = line;
    const wanted = Number(field.value) + Number(button.dataset.by);
    field.value = String(Math.min(Number(field.max), Math.max(0, Math.trunc(wanted))));
    complain(field, error, "");
    this.#isDirty = true;
  }

  /** Say what is wrong beside each field; true where nothing is. */
  #complain() {
    const wrong = this.#lines.filter(({ field }) => !field.validity.valid);
    for (const { field, error } of wrong) complain(field, error, `Give a whole number from 0 to ${field.max}, or leave it empty.`);
    wrong[0]?.field.focus();
    return !wrong.length;
  }
}

/**
 * @param {HTMLInputElement} field
 * @param {HTMLElement} error beside it
 * @param {string} text what is wrong, or nothing
 */
function complain(field, error, text) {
  error.hidden = !text;
  error.textContent = text;
  if (!text) {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
    return;
  }
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", error.id);
}
