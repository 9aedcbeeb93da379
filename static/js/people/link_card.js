// Copy or print the link that is shown this once.
import { part } from "../site/dom.js";

const actions = document.querySelector("[data-link-actions]");

/**
 * @param {string | undefined} id of the element that holds the link
 * @param {HTMLElement} message where the outcome stands
 */
async function copy(id, message) {
  const text = document.getElementById(id ?? "")?.textContent?.trim() ?? "";
  try {
    await navigator.clipboard.writeText(text);
    message.textContent = "Copied.";
  } catch {
    message.textContent = "This browser does not let us copy. Select the link and copy it by hand.";
  }
}

if (actions instanceof HTMLElement) {
  const message = part(actions, "[data-message]");
  const copyButton = part(actions, "[data-copy]");
  actions.hidden = false;
  copyButton.addEventListener("click", () => copy(copyButton.dataset.copy, message));
  part(actions, "[data-print]").addEventListener("click", () => window.print());
}
