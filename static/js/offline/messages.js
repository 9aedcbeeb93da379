// A message at the head of the page, like those the server writes, with an Undo button or another.
import { csrfToken } from "./sync.js";

/**
 * @param {string} text
 * @param {{post?: string, press?: () => void, label?: string}} undo `post`: the address where the server undoes it
 */
export function tell(text, undo = {}) {
  const box = document.createElement("div");
  box.className = "message message-success";
  box.appendChild(document.createElement("p")).textContent = text;
  if (undo.post) box.appendChild(posting(undo.post));
  if (undo.press) box.appendChild(undoButton(undo.label)).addEventListener("click", undo.press, { once: true });
  document.getElementById("messages")?.replaceChildren(box);
}

/** @param {string} address */
function posting(address) {
  const form = document.createElement("form");
  form.method = "post";
  form.action = address;
  form.dataset.later = "undone";
  const token = form.appendChild(document.createElement("input"));
  token.type = "hidden";
  token.name = "csrfmiddlewaretoken";
  token.value = csrfToken();
  const button = form.appendChild(undoButton());
  button.type = "submit";
  return form;
}

function undoButton(label = "Undo") {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "button quiet";
  button.textContent = label;
  return button;
}
