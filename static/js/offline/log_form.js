// The log form writes into the queue: the same with and without a network, and nothing typed is
// lost. Without this module, or where a browser keeps nothing, it is sent as any other form.
import { dayIn } from "./clock.js";
import { tell } from "./messages.js";
import { device, forget, isUsable, logPractice, problemsOf, queue } from "./queue.js";
import * as store from "./store.js";
import { newId } from "./sync.js";

const PATIENCE = 5_000; // milliseconds until the student is told that it waits
const NOT_TYPED = new Set(["csrfmiddlewaretoken", "entry", "day"]);

const controls = (form) => [...form.elements].filter((one) => one.name && one.type !== "hidden");

function fieldsOf(form) {
  const data = new FormData(form);
  const typed = [...data].filter(([name, value]) => !NOT_TYPED.has(name) && value.trim() !== "");
  const fields = Object.fromEntries(typed.map(([name, value]) => [name, value.trim()]));
  if (form.dataset.variation) fields.variation = Number(form.dataset.variation);
  const day = form.elements.day;
  if (day && day.value !== day.defaultValue) fields.day = day.value;
  return fields;
}

// A page from yesterday, or of a device whose clock is off, must not offer yesterday.
async function setDay(form) {
  const day = form.elements.day;
  if (!day || day.value !== day.defaultValue) return;
  const ahead = (await store.fact("ahead")) ?? 0;
  day.defaultValue = day.max = dayIn(device.dataset.zone, Date.now() - ahead);
}

function showProblems(form, problems) {
  clearProblems(form);
  for (const [name, words] of Object.entries(problems)) {
    const control = [form.elements[name]].flat()[0];
    const first = control?.length && !control.tagName ? control[0] : control;
    const place = first?.closest(".field") ?? form;
    const box = document.createElement("div");
    box.className = place === form ? "form-error" : "field-error";
    box.dataset.problem = name;
    for (const text of words) box.appendChild(document.createElement("p")).textContent = text;
    if (place === form) {
      form.prepend(box);
      continue;
    }
    box.id = `${first.id}_error`;
    place.append(box);
    first.setAttribute("aria-invalid", "true");
    first.setAttribute("aria-describedby", box.id);
    first.closest("details")?.setAttribute("open", "");
  }
  form.querySelector("[aria-invalid=true]")?.focus();
}

function clearProblems(form) {
  for (const box of form.querySelectorAll(".field-error, .form-error")) box.remove();
  for (const control of form.querySelectorAll("[aria-invalid]")) {
    control.removeAttribute("aria-invalid");
    control.removeAttribute("aria-describedby");
  }
}

const wanted = (form, name, otherwise) => {
  const control = form.elements[name];
  return control?.dataset?.wanted ?? otherwise;
};

// What is wrong as far as this device can tell; the server has the last word.
function problemsHere(form) {
  const wrong = controls(form).filter((one) => one.willValidate && !one.checkValidity());
  return Object.fromEntries(wrong.map((one) => [one.name, [wanted(form, one.name, one.validationMessage)]]));
}

const problemsTold = (form, told) =>
  Object.fromEntries(
    Object.entries(told).map(([name, errors]) => [
      name,
      [errors].flat().map((error) => (/^(min|max)_|^invalid$/.test(error.code) ? wanted(form, name, error.message) : error.message)),
    ]),
  );

async function log(form, button) {
  const problems = problemsHere(form);
  if (Object.keys(problems).length) return showProblems(form, problems);
  clearProblems(form);
  const fields = fieldsOf(form);
  button.disabled = true;
  try {
    const { id, outcome } = await logPractice(fields, form.dataset.said ?? document.title, form.elements.entry.value);
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

// The next entry is another one.
function begin(form) {
  form.reset();
  form.elements.entry.value = newId();
  for (const control of controls(form)) control.dispatchEvent(new Event("input", { bubbles: true }));
  if (location.hash.startsWith("#entry-")) history.replaceState(null, "", location.pathname);
}

function say(came, id, fields) {
  const what = `${Number(fields.minutes)} min${fields.tempo ? ` at ${fields.tempo}` : ""}.`;
  if (came === "logged") {
    tell(`Logged: ${what}`, { post: device.dataset.undo.replace(/0{8}-[0-]+/, id) });
  } else {
    tell(`Kept on this device: ${what} It is sent when the network returns.`, { press: () => undo(id) });
  }
}

async function undo(id) {
  const gone = await forget(id);
  tell(gone ? "Taken off this device. It is not logged." : "It is on its way already. You can remove it in your log.");
}

// What the page says of this fill's practice, as it is now.
async function freshen() {
  const stale = document.querySelectorAll("[data-fresh]");
  if (!stale.length) return;
  const answer = await fetch(location.pathname, { headers: { "X-Offline-Copy": "1" } }).catch(() => null);
  if (!answer?.ok) return;
  const now = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const part of stale) {
    const other = now.querySelector(`[data-fresh="${part.dataset.fresh}"]`);
    if (other) part.replaceWith(document.adoptNode(other));
  }
}

// An entry that was refused comes back into the form to be put right.
async function bringBack(form) {
  const id = location.hash.match(/^#entry-([\da-f-]{36})$/)?.[1];
  const entry = id && (await store.find(id));
  if (!entry?.refused || String(entry.student) !== device.dataset.student) return;
  for (const [name, value] of Object.entries(entry.fields)) {
    if (form.elements[name]) form.elements[name].value = value;
  }
  form.elements.entry.value = id;
  for (const control of controls(form)) control.dispatchEvent(new Event("input", { bubbles: true }));
  showProblems(form, problemsTold(form, entry.refused));
}

export function start() {
  const form = document.querySelector("form[data-log-form]");
  if (!form || !isUsable) return;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const button = event.submitter ?? form.querySelector("button:not([type=button])");
    if (button.disabled) return;
    log(form, button).catch(() => form.submit()); // nothing can be kept here: send it plainly
  });
  queue.addEventListener("logged", freshen);
  // The id that came with the page is the same in each copy of it.
  form.elements.entry.value = newId();
  setDay(form)
    .then(() => bringBack(form))
    .catch(() => {});
}
