// "Mark as mastered", and taking that back, where there is no network: kept, and sent later.
// With a network the form goes its plain way, and the page that answers says what changed.
import { every, one } from "../site/dom.js";
import { master } from "./later_requests.js";
import { tell } from "./messages.js";
import { isUsable } from "./queue.js";

export function start() {
  if (!isUsable) return;
  for (const form of every(document, "form[data-later]", HTMLFormElement)) {
    form.addEventListener("submit", (event) => {
      if (navigator.onLine) return;
      event.preventDefault();
      master(form.dataset.later ?? "");
      one(form, "button", HTMLButtonElement).disabled = true;
      tell(`Kept on this device: ${form.dataset.laterMessage}. It is sent when the network returns.`);
    });
  }
}
