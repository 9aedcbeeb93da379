// Copy or print the link that is shown this once.
import { part } from "../site/dom.js";

const actions = document.querySelector("[data-link-actions]");

/**
 * @param {string | undefined} id of the element that holds the link
 * @param {HTMLElement} said where it is told what came of it
 */
async function copy(id, said) {
  const text = document.getElementById(id ?? "")?.textContent?.trim() ?? "";
  try {
    await navigator.clipboard.writeText(text);
    said.textContent = "Copied.";
  } catch {
    said.textContent = "This browser does not let us copy. Select the link and copy it by hand.";
  }
}

if (actions instanceof HTMLElement) {
  const said = part(actions, "[data-said]");
  const copyButton = part(actions, "[data-copy]");
  actions.hidden = false;
  copyButton.addEventListener("click", () => copy(copyButton.dataset.copy, said));
  part(actions, "[data-print]").addEventListener("click", () => window.print());
}
