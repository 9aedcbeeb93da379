// A fill's page: its block, its engraving, and its form for the log.
import { minutesOf, Panel } from "./panel.js";
import { Player } from "./player.js";
import { SLOWEST } from "./schedule.js";

const root = document.querySelector("[data-player]");
const form = document.querySelector("form[data-log-form]");

function fillIn({ seconds, loops, tempo }) {
  const values = {
    minutes: minutesOf(seconds),
    // Half of a slow tempo is slower than the log knows.
    tempo: tempo < SLOWEST ? "" : Math.round(tempo),
    loops: loops || "",
  };
  for (const [name, value] of Object.entries(values)) {
    const field = form.elements.namedItem(name);
    if (!field) continue;
    field.value = value;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

const panel = new Panel(root, new Player({ sounds: root.dataset.sounds }));
panel.load(
  JSON.parse(document.getElementById("playable").textContent),
  document.querySelector("[data-player-notation]"),
);
root.addEventListener("offer", ({ detail }) => fillIn(detail));
root.addEventListener("log", () => form.requestSubmit());
