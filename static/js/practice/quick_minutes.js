// Minutes at a touch: the button puts its number into the field.
const quick = document.querySelector("[data-quick-minutes]");
const field = document.querySelector("input[name=minutes]");

function showChosen() {
  for (const button of quick.children) {
    button.setAttribute("aria-pressed", String(Number(button.dataset.minutes) === Number(field.value)));
  }
}

if (quick && field) {
  quick.hidden = false;
  quick.addEventListener("click", (event) => {
    const button = event.target.closest("[data-minutes]");
    if (!button) return;
    field.value = button.dataset.minutes;
    showChosen();
  });
  field.addEventListener("input", showChosen);
  showChosen();
}
