// Among hundreds of students, those whose nickname has what is typed in it, and those chosen.
import { every, one, part } from "../site/dom.js";

const place = document.querySelector(".find-boxes");
if (place instanceof HTMLElement) find(place);

/** @param {HTMLElement} field */
function find(field) {
  const typed = one(field, "input", HTMLInputElement);
  const said = part(field, "[role=status]");
  const rows = every(document, ".choices > .long > div", HTMLElement);

  function show() {
    const wanted = typed.value.trim().toLowerCase();
    let found = 0;
    for (const row of rows) {
      const matches = (row.textContent ?? "").toLowerCase().includes(wanted);
      found += Number(matches);
      row.hidden = !matches && !one(row, "input", HTMLInputElement).checked;
    }
    const many = found === 1 ? "1 student" : `${found} students`;
    said.textContent = wanted && (found ? many : "Nobody. Try fewer letters.");
  }

  typed.addEventListener("input", show);
  // What is looked for changes nothing of what is drawn, and Enter sends nothing.
  typed.addEventListener("change", (event) => event.stopPropagation());
  typed.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
  field.hidden = false;
  show();
}
