// The form for practice without the page writes into the queue: the same with and without a network, and nothing typed is
// lost. Without this module, or where a browser keeps nothing, it is sent as any other form.
import { dayIn } from "./clock.js";
import { clearProblems, showProblems } from "./form_problems.js";
import { tell } from "./messages.js";
import { device, forget, isUsable, logPractice, problemsOf } from "./queue.js";
import * as store from "./store.js";
import { newId } from "./sync.js";

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Control */
/** @typedef {import("./store.js").Fields} Fields */

const PATIENCE = 5_000; // milliseconds until the student is told that it waits
const NOT_TYPED = new Set(["csrfmiddlewaretoken", "entry", "day"]);

/** What can be typed or chosen. @param {HTMLFormElement} form */
function controls(form) {
  const all = /** @type {Control[]} */ ([...form.elements]);
  return all.filter((one) => one.name && one.type !== "hidden");
}

/**
 * An input of the form by its name, if it has one.
 *
 * @param {HTMLFormElement} form
 * @param {string} name
 */
function input(form, name) {
  const found = form.elements.namedItem(name);
  return found instanceof HTMLInputElement ? found : null;
}

/**
 * @param {HTMLFormElement} form
 * @param {string} id of the entry that the form makes next
 */
function setId(form, id) {
  const entry = input(form, "entry");
  if (entry) entry.value = id;
}

/** @param {HTMLFormElement} form */
function fieldsOf(form) {
  /** @type {Fields} */
  const fields = {};
  for (const [name, value] of new FormData(form)) {
    const typed = String(value).trim();
    if (!NOT_TYPED.has(name) && typed !== "") fields[name] = typed;
  }
  if (form.dataset.variation) fields.variation = Number(form.dataset.variation);
  const day = input(form, "day");
  if (day && day.value !== day.defaultValue) fields.day = day.value;
  return fields;
}

/** A page from yesterday, or of a device whose clock is off, must not offer yesterday. @param {HTMLFormElement} form */
async function setDay(form) {
  const day = input(form, "day");
  if (!day || day.value !== day.defaultValue) return;
  const ahead = (await store.fact("ahead")) ?? 0;
  day.defaultValue = day.max = dayIn(device.dataset.zone, Date.now() - ahead);
}

/**
 * What a field wants, in its own words, or else in others.
 *
 * @param {HTMLFormElement} form
 * @param {string} name
 * @param {string} otherwise
 */
function wanted(form, name, otherwise) {
  const control = form.elements.namedItem(name);
  return (control instanceof HTMLElement ? control.dataset.wanted : undefined) ?? otherwise;
}

/** What is wrong as far as this device can tell; the server has the last word. @param {HTMLFormElement} form */
function problemsHere(form) {
  const wrong = controls(form).filter((one) => one.willValidate && !one.checkValidity());
  return Object.fromEntries(wrong.map((one) => [one.name, [wanted(form, one.name, one.validationMessage)]]));
}

/**
 * What the server found wrong, in words.
 *
 * @param {HTMLFormElement} form
 * @param {import("./store.js").Problems} told
 */
function problemsTold(form, told) {
  const inWords = Object.entries(told).map(([name, errors]) => [
    name,
    [errors].flat().map(({ code = "", message = "" }) =>
      /^(min|max)_|^invalid$/.test(code) ? wanted(form, name, message) : message,
    ),
  ]);
  return Object.fromEntries(inWords);
}

/**
 * @param {HTMLFormElement} form
 * @param {HTMLButtonElement} button that was pressed
 */
async function log(form, button) {
  const problems = problemsHere(form);
  if (Object.keys(problems).length) {
    showProblems(form, problems);
    return;
  }
  clearProblems(form);
  const fields = fieldsOf(form);
  button.disabled = true;
  try {
    const { id, outcome } = await logPractice(fields, form.dataset.fillName ?? document.title, input(form, "entry")?.value);
    /** @type {Promise<"waiting">} */
    const late = new Promise((resolve) => setTimeout(resolve, PATIENCE, "waiting"));
    const came = await Promise.race([outcome, late]);
    if (came === "refused") {
      showProblems(form, problemsTold(form, await problemsOf(id)));
      await forget(id); // it stands in the form again
      return;
    }
    begin(form);
    say(came, id, fields);
  } finally {
    button.disabled = false;
  }
}

/** The next entry is another one. @param {HTMLFormElement} form */
function begin(form) {
  form.reset();
  setId(form, newId());
  for (const control of controls(form)) control.dispatchEvent(new Event("input", { bubbles: true }));
  if (location.hash.startsWith("#entry-")) history.replaceState(null, "", location.pathname);
}

/**
 * @param {"logged" | "waiting"} came what came of it
 * @param {string} id
 * @param {Fields} fields
 */
function say(came, id, fields) {
  const what = `${Number(fields.minutes)} min${fields.tempo ? ` at ${fields.tempo}` : ""}.`;
  if (came === "logged") {
    tell(`Saved: ${what}`, { post: device.dataset.undo.replace(/0{8}-[0-]+/, id) });
  } else {
    tell(`Kept on this device: ${what} It is sent when the network returns.`, { press: () => undo(id) });
  }
}

/** @param {string} id */
async function undo(id) {
  const gone = await forget(id);
  tell(gone ? "Taken off this device. It is not logged." : "It is on its way already. You can remove it in your log.");
}

/** An entry that was refused comes back into the form to be put right. @param {HTMLFormElement} form */
async function bringBack(form) {
  const id = location.hash.match(/^#entry-([\da-f-]{36})$/)?.[1];
  const entry = id ? await store.find(id) : undefined;
  if (!id || !entry?.refused || String(entry.student) !== device.dataset.student) return;
  form.closest("details")?.setAttribute("open", "");
  for (const [name, value] of Object.entries(entry.fields)) {
    const field = /** @type {Control | RadioNodeList | null} */ (form.elements.namedItem(name));
    if (field) field.value = String(value ?? "");
  }
  setId(form, id);
  for (const control of controls(form)) control.dispatchEvent(new Event("input", { bubbles: true }));
  showProblems(form, problemsTold(form, entry.refused));
}

export function start() {
  const form = document.querySelector("form[data-log-form]");
  if (!(form instanceof HTMLFormElement) || !isUsable) return;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const button = event.submitter ?? form.querySelector("button:not([type=button])");
    if (!(button instanceof HTMLButtonElement) || button.disabled) return;
    log(form, button).catch(() => form.submit()); // nothing can be kept here: send it plainly
  });
  // The id that came with the page is the same in each copy of it.
  setId(form, newId());
  setDay(form)
    .then(() => bringBack(form))
    .catch(() => {});
}
