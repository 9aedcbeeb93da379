// The grid of the bar editor: a touch changes a cell, the server spells and engraves the bar.
import { around, one, part } from "../site/dom.js";
import { followLine } from "./caret_line.js";

/** @typedef {"sound" | "accent" | "rest" | "hold"} Kind what happens in a cell */

const form = one(document, "#bar-form", HTMLFormElement);
const line = one(form, "[data-count-line]", HTMLInputElement);
/** @type {Record<Kind, Kind>} */
const AFTER = { sound: "rest", accent: "rest", rest: "hold", hold: "sound" };

/** @param {HTMLElement} cell */
const kindOf = (cell) => /** @type {Kind} */ (cell.dataset.kind);

/**
 * @param {HTMLElement} cell
 * @param {Kind} kind
 */
function show(cell, kind) {
  const [turn, accent] = [part(cell, "[data-turn]"), part(cell, "[data-accent]")];
  cell.dataset.kind = kind;
  one(cell, "input", HTMLInputElement).value = kind;
  turn.setAttribute("aria-label", turn.dataset.name + (kind === "accent" ? "sound" : kind));
  accent.setAttribute("aria-pressed", String(kind === "accent"));
  cell.dispatchEvent(new Event("change", { bubbles: true }));
}

/** @param {HTMLElement} cell */
function turned(cell) {
  const next = AFTER[kindOf(cell)];
  return next === "hold" && "neverHeld" in cell.dataset ? "sound" : next;
}

form.addEventListener("click", (event) => {
  const cell = around(event, "[data-cell]", HTMLElement);
  if (!cell) return;
  if (around(event, "[data-turn]", Element)) show(cell, turned(cell));
  if (around(event, "[data-accent]", Element)) show(cell, kindOf(cell) === "accent" ? "sound" : "accent");
});

// What was set on the grid is written into the count line; what was typed stays as typed.
form.addEventListener("bar-drawn", (event) => {
  const { detail } = /** @type {CustomEvent<{counts: string}>} */ (event);
  if (around(event, "#grid", Element)) line.value = detail.counts;
  line.removeAttribute("aria-invalid");
});

line.addEventListener("scroll", () => followLine(line, form));
document.body.addEventListener("htmx:oobAfterSwap", () => followLine(line, form));
