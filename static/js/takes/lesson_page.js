// A bar entered in the lesson: choose a surface, then touch the places where it was struck, by itself
// or together with what is there.
import { every, one, part } from "../site/dom.js";

const form = one(document, "[data-lesson]", HTMLFormElement);
const palette = part(form, "[data-palette]");

// The page of another grid is asked for; a `change` that changes nothing asks for nothing.
for (const select of every(document, "[data-what]", HTMLSelectElement)) {
  const shown = [...select.options].find((option) => option.defaultSelected)?.value;
  select.addEventListener("change", () => {
    if (select.value !== shown) select.form?.requestSubmit();
  });
}

function chosen() {
  return one(palette, "input:checked", HTMLInputElement).value;
}

const together = one(form, "[data-together]", HTMLInputElement);
const AND = " + ";

/**
 * What a place has after a touch: the chosen surface, or, where it goes together with what is
 * there, that with it or without it.
 * @param {string} there
 */
function touched(there) {
  const surface = chosen();
  if (!together.checked) return there === surface ? "" : surface;
  const parts = there ? there.split(AND) : [];
  const left = parts.filter((other) => other !== surface);
  return (left.length < parts.length ? left : [...parts, surface]).join(AND);
}

/**
 * Choose what the list may not offer yet.
 * @param {HTMLSelectElement} select
 * @param {string} value
 */
function choose(select, value) {
  if (![...select.options].some((option) => option.value === value)) {
    select.add(new Option(value, value));
  }
  select.value = value;
}

/**
 * @param {HTMLButtonElement} button
 * @param {HTMLSelectElement} select
 */
function show(button, select) {
  const name = select.value.replaceAll(AND, " and ") || "nothing";
  const label = select.labels[0].textContent?.trim();
  button.textContent = select.value || "–";
  button.setAttribute("aria-label", `${label}: ${name}`);
  button.classList.toggle("lesson-struck", Boolean(select.value));
}

// Each list becomes a button that takes the chosen surface, or gives it back.
for (const cell of every(form, "[data-cell]", HTMLElement)) {
  const select = one(cell, "select", HTMLSelectElement);
  const button = document.createElement("button");
  button.type = "button";
  button.className = "lesson-touch";
  button.addEventListener("click", () => {
    choose(select, touched(select.value));
    show(button, select);
  });
  show(button, select);
  select.hidden = true;
  select.after(button);
}
palette.hidden = false;
part(form, "[data-together-row]").hidden = false;
