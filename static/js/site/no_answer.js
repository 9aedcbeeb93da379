// Where what somebody asked for by a form of a page gets no answer, or none that can be shown, the
// page says so beside it. What asks by itself asks again by itself, and says nothing.

const TEXT = "The studio did not answer. Nothing you typed is lost: change it once more, or try again in a minute.";
const FAILURES = ["htmx:responseError", "htmx:sendError", "htmx:timeout"];

/** @typedef {CustomEvent<{target: Element, requestConfig: {triggeringEvent?: Event}}>} Asked */

const note = document.createElement("p");
note.className = "form-error";
note.setAttribute("role", "alert");

for (const type of FAILURES) {
  document.addEventListener(type, (event) => {
    const { target, requestConfig } = /** @type {Asked} */ (event).detail;
    if (!requestConfig.triggeringEvent) return;
    // Said anew, so that it is read out anew.
    note.textContent = TEXT;
    target.before(note);
  });
}

document.addEventListener("htmx:afterSwap", () => note.remove());
