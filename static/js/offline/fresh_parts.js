// Parts of a page that say what was practised, as the server has it now that something was sent.
import { every } from "../site/dom.js";
import { queue } from "./queue.js";

async function freshen() {
  const stale = every(document, "[data-fresh]", HTMLElement);
  if (!stale.length) return;
  const answer = await fetch(location.href, { headers: { "X-Offline-Copy": "1" } }).catch(() => null);
  if (!answer?.ok) return;
  const now = new DOMParser().parseFromString(await answer.text(), "text/html");
  for (const part of stale) {
    const other = now.querySelector(`[data-fresh="${part.dataset.fresh}"]`);
    if (other) part.replaceWith(document.adoptNode(other));
  }
}

export function start() {
  for (const what of ["logged", "said"]) queue.addEventListener(what, freshen);
}
