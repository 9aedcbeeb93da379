// A bar entered in the lesson: choose a surface, then touch the places where it was struck.
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

/**
 * @param {HTMLButtonElement} button
 * @param {HTMLSelectElement} select
 */
function show(button, select) {
  const name = select.value || "nothing";
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
    select.value = select.value === chosen() ? "" : chosen();
    show(button, select);
  });
  show(button, select);
  select.hidden = true;
  select.after(button);
}
palette.hidden = false;
