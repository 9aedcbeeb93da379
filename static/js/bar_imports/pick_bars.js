// Tick all bars of a file, or none.
const form = document.getElementById("pick-form");
const actions = form?.querySelector(".pick-all");

if (actions) {
  actions.hidden = false;
  actions.addEventListener("click", (event) => {
    const button = event.target.closest("[data-pick]");
    if (!button) return;
    for (const box of form.querySelectorAll("input[type=checkbox]")) {
      box.checked = button.dataset.pick === "all";
    }
  });
}
