// What was typed or chosen before the page could react, or is filled in again by the browser
// on a reload, counts as changed now. A field that must not hear every `change`, as it comes
// when the field is left, listens for `early`.
const heard = new WeakSet();

function differs(control) {
  if (control.matches("select")) {
    return [...control.options].some((option) => option.selected !== option.defaultSelected);
  }
  return control.checked !== control.defaultChecked || control.value !== control.defaultValue;
}

// From here on the page reacts by itself.
addEventListener("DOMContentLoaded", () => {
  for (const type of ["input", "change"]) {
    document.addEventListener(type, (event) => heard.add(event.target), true);
  }
});

addEventListener("load", () => {
  for (const control of document.querySelectorAll("main :is(input, select, textarea)")) {
    if (heard.has(control) || !differs(control)) continue;
    for (const type of ["change", "early"]) control.dispatchEvent(new Event(type, { bubbles: true }));
  }
});
