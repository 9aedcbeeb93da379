// The assign page: other fills, errors that came with a change, and a button that is pressed once.
import "./find_boxes.js";
import { around, every, one } from "../site/dom.js";

/** @typedef {{target: HTMLElement, fragment: DocumentFragment}} OobSwap what htmx is about to put where */

const form = one(document, "#assign", HTMLFormElement);

// A field is invalid where its place for the error says something.
function markInvalidFields() {
  for (const error of every(form, ".field-error", HTMLElement)) {
    const control = document.getElementById(error.id.replace(/_error$/, ""));
    if (!control?.matches("input, select, textarea")) continue;
    if (error.hidden) control.removeAttribute("aria-invalid");
    else control.setAttribute("aria-invalid", "true");
  }
}

// What a button among the fills asks for waits in the form, since the fills are drawn again, and
// the button with them, when a change just before it is answered.
form.addEventListener("click", (event) => {
  const button = around(event, "button[formaction]", HTMLButtonElement);
  if (!button) return;
  event.preventDefault();
  const { name, value } = button;
  if (name) {
    const wish = Object.assign(document.createElement("input"), { type: "hidden", name, value });
    wish.dataset.wish = "";
    form.append(wish);
  }
  htmx.trigger("#drawn", "wish");
});
form.addEventListener("htmx:beforeSend", ({ target }) => {
  // Not with what only looks whether a fill is engraved yet.
  if (target !== form && !(target instanceof Element && target.id === "drawn")) return;
  for (const wish of form.querySelectorAll("[data-wish]")) wish.remove();
});

// Other students bring other grooves. What was chosen while they were asked for stays chosen, and a
// list that is open stays open.
document.body.addEventListener("htmx:oobBeforeSwap", (event) => {
  const { target, fragment } = /** @type {CustomEvent<OobSwap>} */ (event).detail;
  if (target.id !== "id_groove_field") return;
  const [now, coming] = [one(target, "select", HTMLSelectElement), one(fragment, "select", HTMLSelectElement)];
  if (now === document.activeElement) event.preventDefault();
  const isThere = [...coming.options].some(({ value }) => value === now.value);
  if (isThere) coming.value = now.value;
});

form.addEventListener("submit", ({ submitter }) => {
  if (submitter?.id === "assign-button") {
    // After this turn, so that the form is sent as it is.
    setTimeout(() => submitter.setAttribute("disabled", ""));
  }
});
document.body.addEventListener("htmx:afterSettle", markInvalidFields);
// Coming back by the browser's history finds the button pressed: let it be pressed again.
addEventListener("pageshow", () => document.getElementById("assign-button")?.removeAttribute("disabled"));
