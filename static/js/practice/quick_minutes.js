// Minutes at a touch: the button puts its number into the field.
import { around, every } from "../site/dom.js";

const quick = document.querySelector("[data-quick-minutes]");
const field = document.querySelector("input[name=minutes]");

if (quick instanceof HTMLElement && field instanceof HTMLInputElement) offer(quick, field);

/**
 * @param {HTMLElement} buttons
 * @param {HTMLInputElement} minutes
 */
function offer(buttons, minutes) {
  const showChosen = () => {
    for (const button of every(buttons, ":scope > *", HTMLElement)) {
      const isChosen = Number(button.dataset.minutes) === Number(minutes.value);
      button.setAttribute("aria-pressed", String(isChosen));
    }
  };
  buttons.hidden = false;
  buttons.addEventListener("click", (event) => {
    const button = around(event, "[data-minutes]", HTMLElement);
    if (!button) return;
    minutes.value = button.dataset.minutes ?? "";
    showChosen();
  });
  minutes.addEventListener("input", showChosen);
  showChosen();
}
