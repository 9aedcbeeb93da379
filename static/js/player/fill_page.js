// A fill's page: its block, its engraving, and its form for the log.
import { jsonOf, one, part } from "../site/dom.js";
import { minutesOf, Panel } from "./panel.js";
import { Player } from "./player.js";
import { SLOWEST } from "./schedule.js";

const root = part(document, "[data-player]");
const form = one(document, "form[data-log-form]", HTMLFormElement);

/** @param {import("./player.js").Played} played */
function fillIn({ seconds, loops, tempo }) {
  const values = {
    minutes: minutesOf(seconds),
    // Half of a slow tempo is slower than the log knows.
    tempo: tempo === null || tempo < SLOWEST ? "" : Math.round(tempo),
    loops: loops || "",
  };
  for (const [name, value] of Object.entries(values)) {
    const field = form.elements.namedItem(name);
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) continue;
    field.value = String(value);
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

const panel = new Panel(root, new Player({ sounds: root.dataset.sounds ?? "" }));
panel.load(jsonOf("playable"), document.querySelector("[data-player-notation]"));
root.addEventListener("offer", (event) => {
  fillIn(/** @type {CustomEvent<import("./player.js").Played>} */ (event).detail);
});
root.addEventListener("log", () => form.requestSubmit());
