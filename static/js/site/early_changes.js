// What was typed or chosen before the page could react, or is filled in again by the browser
// on a reload, counts as changed now. A field that must not hear every `change`, as it comes
// when the field is left, listens for `early`.

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement} Control */

/** @type {WeakSet<EventTarget>} */
const heard = new WeakSet();

/** @param {Control} control */
function differs(control) {
  if (control instanceof HTMLSelectElement) {
    return [...control.options].some((option) => option.selected !== option.defaultSelected);
  }
  const isTicked = control instanceof HTMLInputElement && control.checked !== control.defaultChecked;
  return isTicked || control.value !== control.defaultValue;
}

// From here on the page reacts by itself.
addEventListener("DOMContentLoaded", () => {
  for (const type of ["input", "change"]) {
    document.addEventListener(type, ({ target }) => target && heard.add(target), true);
  }
});

addEventListener("load", () => {
  /** @type {NodeListOf<Control>} */
  const controls = document.querySelectorAll("main :is(input, select, textarea)");
  for (const control of controls) {
    if (heard.has(control) || !differs(control)) continue;
    for (const type of ["change", "early"]) control.dispatchEvent(new Event(type, { bubbles: true }));
  }
});
