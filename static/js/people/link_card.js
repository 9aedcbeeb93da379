// Copy or print the link that is shown this once.
const actions = document.querySelector("[data-link-actions]");

async function copy(button, said) {
  const text = document.getElementById(button.dataset.copy).textContent.trim();
  try {
    await navigator.clipboard.writeText(text);
    said.textContent = "Copied.";
  } catch {
    said.textContent = "This browser does not let us copy. Select the link and copy it by hand.";
  }
}

if (actions) {
  const said = actions.querySelector("[data-said]");
  const copyButton = actions.querySelector("[data-copy]");
  actions.hidden = false;
  copyButton.addEventListener("click", () => copy(copyButton, said));
  actions.querySelector("[data-print]").addEventListener("click", () => window.print());
}
