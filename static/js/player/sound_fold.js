// How it sounds on this device, set by hand: templates/assignments/practice/sound.html.
import { around, every } from "../site/dom.js";
import { isSound, keepSound, keptSound, onSound } from "./kept_sound.js";

const SETTERS = "[data-sound-set]";

/** @param {HTMLInputElement | HTMLSelectElement} control */
function valueOf(control) {
  if (control instanceof HTMLSelectElement) return control.value;
  return control.type === "checkbox" ? control.checked : Number(control.value);
}

function show() {
  const kept = keptSound();
  for (const control of every(document, SETTERS, HTMLElement)) {
    const name = control.dataset.soundSet ?? "";
    if (!isSound(name)) continue;
    if (control instanceof HTMLInputElement && control.type === "checkbox") control.checked = Boolean(kept[name]);
    else if (control instanceof HTMLInputElement || control instanceof HTMLSelectElement) control.value = String(kept[name]);
  }
}

document.addEventListener("input", (event) => {
  const control = around(event, SETTERS, HTMLElement);
  if (!(control instanceof HTMLInputElement || control instanceof HTMLSelectElement)) return;
  keepSound({ [control.dataset.soundSet ?? ""]: valueOf(control) });
});
onSound(show);
show();
