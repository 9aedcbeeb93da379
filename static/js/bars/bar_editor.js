// The grid of the bar editor: a touch changes a cell, the server spells and engraves the bar.
const form = document.getElementById("bar-form");
const line = form.querySelector("[data-count-line]");
const AFTER = { sound: "rest", accent: "rest", rest: "hold", hold: "sound" };

function show(cell, kind) {
  const [turn, accent] = [cell.querySelector("[data-turn]"), cell.querySelector("[data-accent]")];
  cell.dataset.kind = kind;
  cell.querySelector("input").value = kind;
  turn.setAttribute("aria-label", turn.dataset.name + (kind === "accent" ? "sound" : kind));
  accent.setAttribute("aria-pressed", String(kind === "accent"));
  cell.dispatchEvent(new Event("change", { bubbles: true }));
}

function turned(cell) {
  const next = AFTER[cell.dataset.kind];
  return next === "hold" && "neverHeld" in cell.dataset ? "sound" : next;
}

form.addEventListener("click", (event) => {
  const cell = event.target.closest("[data-cell]");
  if (cell && event.target.closest("[data-turn]")) show(cell, turned(cell));
  if (cell && event.target.closest("[data-accent]")) {
    show(cell, cell.dataset.kind === "accent" ? "sound" : "accent");
  }
});

// What was set on the grid is written into the count line; what was typed stays as typed.
form.addEventListener("bar-drawn", (event) => {
  if (event.target.closest("#grid")) line.value = event.detail.counts;
  line.removeAttribute("aria-invalid");
});

// A long line scrolls in its field; the caret below stays under its column.
function followLine() {
  const caret = form.querySelector(".caret-line");
  if (caret) caret.style.textIndent = `${-line.scrollLeft}px`;
}

line.addEventListener("scroll", followLine);
document.body.addEventListener("htmx:oobAfterSwap", followLine);
