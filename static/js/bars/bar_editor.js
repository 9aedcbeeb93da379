// The grid of the bar editor: a touch changes a cell, the server spells and engraves the bar.
import { around, every, one, part } from "../site/dom.js";
import { followLine } from "./caret_line.js";
import { Unanswered, chooseAgain, sentWhenAnswered } from "./late_answers.js";

/** @typedef {"sound" | "accent" | "rest" | "hold"} Kind what happens in a cell */
/** @typedef {import("./late_answers.js").Asked} Asked */

const form = one(document, "#bar-form", HTMLFormElement);
const line = one(form, "[data-count-line]", HTMLInputElement);
const meter = one(form, "[name=meter]", HTMLInputElement);
const grid = part(form, "#grid");
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
}

/** @param {HTMLElement} cell */
function turned(cell) {
  const next = AFTER[kindOf(cell)];
  return next === "hold" && "neverHeld" in cell.dataset ? "sound" : next;
}

/**
 * @param {HTMLElement} cell
 * @param {Kind} kind
 */
function touch(cell, kind) {
  show(cell, kind);
  set(cell.dataset.cell ?? "", kind);
}

form.addEventListener("click", (event) => {
  const cell = around(event, "[data-cell]", HTMLElement);
  if (!cell) return;
  if (around(event, "[data-turn]", Element)) touch(cell, turned(cell));
  if (around(event, "[data-accent]", Element)) touch(cell, kindOf(cell) === "accent" ? "sound" : "accent");
});

grid.addEventListener("change", ({ target }) => {
  if (target instanceof HTMLSelectElement) set(target.id, target.value);
});

// What was set on the grid is asked about when nothing else is, and the line has been read: it
// changes the bar of that line.
const unanswered = new Unanswered();
const typed = () => `${line.value}\n${meter.value}`;
let [isAsked, isDrawn, isUnread] = [false, false, false];
let asked = "";
let read = `${line.defaultValue}\n${meter.defaultValue}`;
const afterRequest = sentWhenAnswered(form, () => unanswered.size > 0 && !isUnread, ask);

/** @param {string} name @param {string} value */
function set(name, value) {
  unanswered.set(name, value);
  ask();
}

function ask() {
  if (isAsked || !unanswered.size) return;
  if (typed() === read) htmx.trigger(grid, "set");
  else htmx.trigger(line, "early");
}

form.addEventListener("htmx:beforeSend", (event) => {
  [isAsked, isDrawn, asked] = [true, false, typed()];
  if (event.target === grid) unanswered.ask();
});

// What was set on the grid is written into the count line; what was typed stays as typed.
form.addEventListener("bar-drawn", (event) => {
  const { detail } = /** @type {CustomEvent<{counts: string}>} */ (event);
  isDrawn = true;
  line.removeAttribute("aria-invalid");
  if (event.target !== grid) return;
  if (typed() === asked) {
    line.value = detail.counts;
    asked = typed();
    unanswered.answered();
  } else unanswered.giveBack();
});

/** Set on the grid that came with an answer what that answer did not know of. */
function setAgain() {
  for (const place of every(grid, "input[name=place]", HTMLInputElement)) place.remove();
  for (const [name, value] of unanswered.waiting) {
    const cell = grid.querySelector(`[data-cell="${name}"]`);
    if (cell instanceof HTMLElement) show(cell, /** @type {Kind} */ (value));
    else if (name.includes(" ")) sendPlace(`${name} ${value}`);
    else chooseAgain(name, value);
  }
}

/** A place that the grid has no more is set by its name. @param {string} value */
function sendPlace(value) {
  grid.append(Object.assign(document.createElement("input"), { type: "hidden", name: "place", value }));
}

document.body.addEventListener("htmx:oobAfterSwap", () => {
  setAgain();
  followLine(line, form);
});

form.addEventListener("htmx:afterRequest", (event) => {
  const isAnswered = Boolean(/** @type {Asked} */ (event).detail.successful);
  isAsked = false;
  if (isAnswered) [read, isUnread] = [asked, !isDrawn];
  if (!isAnswered) unanswered.giveBack();
  else if (!isDrawn) unanswered.answered();
  // Once what was asked meanwhile is on its way.
  else setTimeout(ask);
  afterRequest(isAnswered);
});

line.addEventListener("scroll", () => followLine(line, form));
