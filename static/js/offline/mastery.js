// "Mark as mastered", and taking that back: kept on this device first, then sent, so that a press
// in a cellar is not lost. Without this module it is a form as any other.
import { every, one } from "../site/dom.js";
import { master } from "./later_requests.js";
import { tell } from "./messages.js";
import { isUsable } from "./queue.js";

const SAID = "fillwright-said"; // what the page says once it is there anew

/** @param {HTMLFormElement} form */
async function press(form) {
  const button = one(form, "button", HTMLButtonElement);
  const { later = "", laterMessage, laterDone = "", laterUndo } = form.dataset;
  button.disabled = true;
  const status = await master(later);
  if (status === null) {
    tell(`Kept on this device: ${laterMessage}. It is sent by itself when the network returns.`);
    return;
  }
  if (status >= 400) {
    button.disabled = false;
    tell("That did not work: your teacher may have taken the fill back. Look at Today.");
    return;
  }
  sessionStorage.setItem(SAID, JSON.stringify({ text: laterDone, post: laterUndo }));
  location.reload();
}

function sayWhatCame() {
  const said = sessionStorage.getItem(SAID);
  if (!said) return;
  sessionStorage.removeItem(SAID);
  const { text, post } = JSON.parse(said);
  tell(text, { post });
}

export function start() {
  if (!isUsable) return;
  sayWhatCame();
  for (const form of every(document, "form[data-later]", HTMLFormElement)) {
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      press(form);
    });
  }
}
