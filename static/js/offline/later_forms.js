// Forms of a student that are kept on this device first, then sent: `form[data-later]`, which says
// in words what it does. Without this module it is a form as any other.
//
//   <form method="post" data-later="5 min on 25 November, changed">
//   data-later-undo="/log/…/restore/"   where that is undone
import { every } from "../site/dom.js";
import { clearProblems, showProblems } from "./form_problems.js";
import { own, reasons, sendForm, takeOff } from "./later_requests.js";
import { tell } from "./messages.js";
import { isUsable } from "./queue.js";

/** @typedef {import("./later_list.js").Field} Field */

const NOT_TYPED = "csrfmiddlewaretoken";
const UNREADABLE = "The file cannot be read any more. Choose it once more.";
const WHEN = "It is sent by itself as soon as the site takes it.";

/** @param {HTMLFormElement} form */
async function send(form) {
  const button = form.querySelector("button:not([type=button])");
  if (!(button instanceof HTMLButtonElement) || button.disabled) return;
  button.disabled = true;
  const fields = await fieldsOf(form).catch(() => null);
  if (!fields) {
    button.disabled = false;
    showProblems(form, { "": [UNREADABLE] });
    return;
  }
  const { id, answer, isKept } = await sendForm({
    id: form.dataset.laterId || undefined,
    address: new URL(form.action).pathname,
    fields,
    said: form.dataset.later,
    page: location.pathname,
    key: fields.find(([name]) => name === "take")?.[1].toString(), // one take does not replace another
  });
  form.dataset.laterId = answer || isKept ? "" : id;
  const isDone = isKept && "laterUndo" in form.dataset;
  button.disabled = isDone || (answer?.status ?? 400) < 400;
  if (answer && answer.status < 400) location.assign(answer.body.to || location.pathname);
  else if (answer) showRefusal(form, answer.problems, reasons(answer));
  else if (isKept) sayKept(form, id, button);
  else say("Not sent: the site does not answer, and this device has no room to keep it. What you typed is still here.", { press: () => send(form), label: "Try again" });
}

/** The form may be far below the messages. @type {typeof tell} */
function say(text, undo) {
  tell(text, undo);
  document.getElementById("messages")?.scrollIntoView({ block: "nearest" });
}

/**
 * Beside the fields, as far as they are known.
 *
 * @param {HTMLFormElement} form
 * @param {import("./form_problems.js").Words | undefined} problems
 * @param {string[]} words the same for the form as a whole
 */
const showRefusal = (form, problems, words) =>
  showProblems(form, problems && Object.keys(problems).length ? problems : { "": words });

/**
 * @param {HTMLFormElement} form
 * @param {string} id
 * @param {HTMLButtonElement} button
 */
function sayKept(form, id, button) {
  clearProblems(form);
  const { later, laterUndo: undo } = form.dataset;
  const press = () => takeBack(id, undo ?? "", button);
  say(`Kept on this device: ${later}. ${WHEN}`, undo ? { press } : {});
}

/**
 * Undo what waits: nothing is sent of it where nothing was, else its undoing is sent after it.
 *
 * @param {string} id
 * @param {string} address where it is undone
 * @param {HTMLButtonElement} button
 */
async function takeBack(id, address, button) {
  button.disabled = false;
  if (takeOff(id)) {
    say("Taken off this device. Nothing was changed.");
    return;
  }
  const { answer } = await sendForm({ address, fields: [], said: "the change before, undone", page: location.pathname });
  if (answer && answer.status < 400) location.assign(answer.body.to || location.pathname);
  else say(answer ? reasons(answer).join(" ") : `Kept on this device: it is undone. ${WHEN}`);
}

/**
 * @param {HTMLFormElement} form
 * @returns {Promise<Field[]>}
 */
async function fieldsOf(form) {
  /** @type {Field[]} */
  const fields = [];
  for (const [name, value] of new FormData(form)) {
    if (name !== NOT_TYPED) fields.push([name, typeof value === "string" ? value : await kept(value)]);
  }
  return fields.filter(([, value]) => typeof value === "string" || value.name);
}

/** @param {File} file */
async function kept(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  let letters = "";
  for (const byte of bytes) letters += String.fromCharCode(byte);
  return { name: file.name, type: file.type, data: btoa(letters) };
}

/**
 * Write into a form what was sent of it; a file has to be chosen anew.
 *
 * @param {HTMLFormElement} form
 * @param {Field[]} fields
 */
function fillIn(form, fields) {
  for (const control of /** @type {HTMLInputElement[]} */ ([...form.elements])) {
    const [value] = fields.flatMap(([name, said]) => (name === control.name ? [said] : []));
    if (["checkbox", "radio"].includes(control.type)) control.checked = value === control.value;
    else if (typeof value === "string") control.value = value;
  }
}

/** What was refused comes back into its form, to be put right. */
function bringBack() {
  const id = location.hash.match(/^#later-([\da-f-]{36})$/)?.[1];
  const one = own().find((other) => other.id === id && other.refused);
  const forms = every(document, "form[data-later]", HTMLFormElement);
  const form = forms.find(({ action }) => new URL(action).pathname === one?.address);
  if (!one?.fields || !form) return;
  fillIn(form, one.fields);
  form.closest("details")?.setAttribute("open", "");
  showRefusal(form, one.problems, one.refused ?? []);
}

export function start() {
  if (!isUsable) return;
  // Parts of pages come and go.
  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!(form instanceof HTMLFormElement) || !("later" in form.dataset)) return;
    event.preventDefault();
    send(form);
  });
  bringBack();
}
