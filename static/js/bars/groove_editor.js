// The lines of the groove editor, and its two grids: the server spells what is touched, and engraves it.
import { around, every, one } from "../site/dom.js";
import { followLine } from "./caret_line.js";

/** @typedef {"silent" | "normal" | "accent" | "ghost"} Dynamic of a place */

const form = one(document, "#groove-form", HTMLFormElement);
/** @type {Record<Dynamic, Dynamic>} */
const AFTER = { silent: "normal", normal: "accent", accent: "ghost", ghost: "silent" };

/** @param {HTMLInputElement} line */
const follow = (line) => followLine(line, line.closest(".drum-line") ?? form);

for (const line of every(form, "input.count-line", HTMLInputElement)) {
  line.addEventListener("scroll", () => follow(line));
}

// A touch waits in the form until it is sent, since others may come while one is answered.
form.addEventListener("click", (event) => {
  const place = around(event, "button[data-turn]", HTMLButtonElement);
  const grid = around(event, "[data-turns]", HTMLElement);
  if (!place || !grid) return;
  const { turn = "", name = "", kind } = place.dataset;
  const now = AFTER[/** @type {Dynamic} */ (kind)];
  place.dataset.kind = now;
  place.setAttribute("aria-label", name + now);
  const waiting = Object.assign(document.createElement("input"), { type: "hidden", name: grid.dataset.turns, value: turn });
  form.append(waiting);
  htmx.trigger(grid, "turned");
});
form.addEventListener("htmx:beforeSend", () => {
  for (const sent of every(form, "input[name$=turn]", HTMLInputElement)) sent.remove();
});

// What was touched on the grid is written into its line; what was typed stays as typed.
form.addEventListener("groove-drawn", (event) => {
  const { detail } = /** @type {CustomEvent<{lines: Record<string, string>}>} */ (event);
  for (const [name, text] of Object.entries(detail.lines)) one(form, `[name="${name}"]`, HTMLInputElement).value = text;
});

// What is wrong with a line is said anew after each change of any.
document.body.addEventListener("htmx:oobAfterSwap", () => {
  for (const line of every(form, "input.count-line", HTMLInputElement)) {
    const wrong = line.closest(".drum-line")?.querySelector(".field-error");
    if (!wrong) line.removeAttribute("aria-invalid");
    follow(line);
  }
});
