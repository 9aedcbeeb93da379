// What is wrong with a form, in words by its fields: shown beside them, and read from a page that
// the server answered with.
import { every } from "../site/dom.js";

/** @typedef {Record<string, string[]>} Words by the field's name; "" for the form as a whole */

/**
 * The element of this name; the first of radio buttons.
 *
 * @param {HTMLFormElement} form
 * @param {string} name
 */
function named(form, name) {
  const found = form.elements.namedItem(name);
  return found instanceof RadioNodeList ? /** @type {HTMLInputElement} */ (found[0]) : found;
}

/**
 * @param {HTMLFormElement} form
 * @param {Words} problems in words, by field
 */
export function showProblems(form, problems) {
  clearProblems(form);
  for (const [name, words] of Object.entries(problems)) {
    const first = named(form, name);
    const place = first?.closest(".field, .key");
    const box = document.createElement("div");
    box.className = place ? "field-error" : "form-error";
    box.dataset.problem = name;
    for (const text of words) box.appendChild(document.createElement("p")).textContent = text;
    if (!first || !place) {
      form.prepend(box);
      continue;
    }
    box.id = `${first.id}_error`;
    place.append(box);
    first.setAttribute("aria-invalid", "true");
    first.setAttribute("aria-describedby", box.id);
    first.closest("details")?.setAttribute("open", "");
  }
  every(form, "[aria-invalid=true]", HTMLElement)[0]?.focus();
}

/** @param {HTMLFormElement} form */
export function clearProblems(form) {
  for (const box of form.querySelectorAll(".field-error, .form-error")) box.remove();
  for (const control of form.querySelectorAll("[aria-invalid]")) {
    control.removeAttribute("aria-invalid");
    control.removeAttribute("aria-describedby");
  }
}

/**
 * What a page of the server says is wrong with its form.
 *
 * @param {string} html
 * @returns {Words}
 */
export function wordsIn(html) {
  /** @type {Words} */
  const words = {};
  if (typeof DOMParser === "undefined") return words;
  const page = new DOMParser().parseFromString(html, "text/html");
  for (const box of page.querySelectorAll("main :is(.field-error, .form-error, .errorlist li)")) {
    const text = box.textContent?.trim().replace(/\s+/g, " ");
    const name = box.closest(".field, .key")?.querySelector("[name]")?.getAttribute("name") ?? "";
    if (text && !words[name]?.includes(text)) words[name] = [...(words[name] ?? []), text];
  }
  return words;
}
