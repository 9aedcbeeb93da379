// The lines of the groove editor, and its two grids: the server spells what is touched, and engraves it.
import { around, every, one } from "../site/dom.js";
import { followLine } from "./caret_line.js";
import { Unanswered, chooseAgain, sentWhenAnswered } from "./late_answers.js";

/** @typedef {"silent" | "normal" | "accent" | "ghost"} Dynamic of a place */
/** @typedef {import("./late_answers.js").Asked} Asked */

const form = one(document, "#groove-form", HTMLFormElement);
/** @type {Record<Dynamic, Dynamic>} */
const AFTER = { silent: "normal", normal: "accent", accent: "ghost", ghost: "silent" };

/** @param {HTMLInputElement} line */
const follow = (line) => followLine(line, line.closest(".drum-line") ?? form);

for (const line of every(form, "input.count-line", HTMLInputElement)) {
  line.addEventListener("scroll", () => follow(line));
}

// A touch waits in the form until it is sent, since others may come while one is answered.
const turns = () => every(form, "input[name$=turn]", HTMLInputElement);
/** @type {HTMLInputElement[]} */
let askedTurns = [];
// What is shown before an answer shows it: divisions chosen, and places touched.
const [chosen, touched] = [new Unanswered(), new Unanswered()];
/** @type {Map<string, string>} the lines as they were sent */
let asked = new Map();
const isUnanswered = () => [...turns(), ...askedTurns].some((turn) => !("unread" in turn.dataset));
const afterRequest = sentWhenAnswered(form, isUnanswered, () => htmx.trigger("#groove-grid", "turned"));

form.addEventListener("click", (event) => {
  const place = around(event, "button[data-turn]", HTMLButtonElement);
  const grid = around(event, "[data-turns]", HTMLElement);
  if (!place || !grid) return;
  const { turn = "", kind } = place.dataset;
  const now = AFTER[/** @type {Dynamic} */ (kind)];
  touched.set(place.id, now);
  showTouched();
  const waiting = Object.assign(document.createElement("input"), { type: "hidden", name: grid.dataset.turns, value: turn });
  form.append(waiting);
  htmx.trigger(grid, "turned");
});

function showTouched() {
  for (const [id, kind] of touched.waiting) {
    const place = document.getElementById(id);
    if (!place) continue;
    place.dataset.kind = kind;
    place.setAttribute("aria-label", place.dataset.name + kind);
  }
}

form.addEventListener("change", (event) => {
  const select = around(event, "[data-turns] select", HTMLSelectElement);
  if (select) chosen.set(select.id, select.value);
}, true);

form.addEventListener("htmx:beforeSend", () => {
  for (const shown of [chosen, touched]) shown.ask();
  askedTurns = turns();
  for (const sent of askedTurns) sent.remove();
  asked = new Map(every(form, "input.count-line", HTMLInputElement).map(({ name, value }) => [name, value]));
});

// What was touched on the grid is written into its line; what was typed stays as typed, and is
// touched as it is now. A line that cannot be read yet is touched once it can.
form.addEventListener("groove-drawn", (event) => {
  const { detail } = /** @type {CustomEvent<{lines: Record<string, string>}>} */ (event);
  const changed = new Set();
  for (const [name, text] of Object.entries(detail.lines)) {
    const line = one(form, `[name="${name}"]`, HTMLInputElement);
    if (line.value === asked.get(name)) line.value = text;
    else changed.add(name);
  }
  for (const turn of askedTurns) turn.toggleAttribute("data-unread", !(lineOf(turn) in detail.lines));
  askedTurns = askedTurns.filter((turn) => "unread" in turn.dataset || changed.has(lineOf(turn)));
});

/** The name of the line that a touch is of. @param {HTMLInputElement} turn */
const lineOf = ({ name, value }) =>
  `${name === "turn" ? "line" : "setup"}-${value.slice(0, value.lastIndexOf(" ")).replaceAll(" ", "-")}`;

form.addEventListener("htmx:afterRequest", (event) => {
  const isAnswered = Boolean(/** @type {Asked} */ (event).detail.successful);
  for (const shown of [chosen, touched]) {
    if (isAnswered) shown.answered();
    else shown.giveBack();
  }
  // Those of the form are newer.
  form.prepend(...askedTurns);
  askedTurns = [];
  afterRequest(isAnswered);
});

// What is wrong with a line is said anew after each change of any.
document.body.addEventListener("htmx:oobAfterSwap", () => {
  for (const [id, division] of chosen.waiting) chooseAgain(id, division);
  showTouched();
  for (const line of every(form, "input.count-line", HTMLInputElement)) {
    const wrong = line.closest(".drum-line")?.querySelector(".field-error");
    if (!wrong) line.removeAttribute("aria-invalid");
    follow(line);
  }
});
// What is swapped in takes on its attributes only then.
document.body.addEventListener("htmx:afterSettle", showTouched);
