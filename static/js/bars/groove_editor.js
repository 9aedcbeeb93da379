// The lines of the groove editor: what is said of one stays under its column.
import { every, one } from "../site/dom.js";
import { followLine } from "./caret_line.js";

const form = one(document, "#groove-form", HTMLFormElement);

/** @param {HTMLInputElement} line */
const follow = (line) => followLine(line, line.closest(".drum-line") ?? form);

for (const line of every(form, "input.count-line", HTMLInputElement)) {
  line.addEventListener("scroll", () => follow(line));
}
// What is wrong with a line is said anew after each change of any.
document.body.addEventListener("htmx:oobAfterSwap", () => {
  for (const line of every(form, "input.count-line", HTMLInputElement)) {
    const wrong = line.closest(".drum-line")?.querySelector(".field-error");
    if (!wrong) line.removeAttribute("aria-invalid");
    follow(line);
  }
});
