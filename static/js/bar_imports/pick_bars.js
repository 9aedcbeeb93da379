// Tick all bars of a file, or none.
import { around, every } from "../site/dom.js";

const form = document.getElementById("pick-form");
const actions = form?.querySelector(".pick-all");

if (form && actions instanceof HTMLElement) {
  actions.hidden = false;
  actions.addEventListener("click", (event) => {
    const button = around(event, "[data-pick]", HTMLElement);
    if (!button) return;
    for (const box of every(form, "input[type=checkbox]", HTMLInputElement)) {
      box.checked = button.dataset.pick === "all";
    }
  });
}
