// Elements of a page, with the type that a script needs of them.

/**
 * The first element under `root` that matches, which the page must have.
 *
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new () => T} type
 * @returns {T}
 * @throws {Error} where there is none, or one of another type
 */
export function one(root, selector, type) {
  const found = root.querySelector(selector);
  if (found instanceof type) return found;
  throw new Error(`No ${type.name} at ${selector}.`);
}

/**
 * The same for any HTML element.
 *
 * @param {ParentNode} root
 * @param {string} selector
 */
export const part = (root, selector) => one(root, selector, HTMLElement);

/**
 * All elements under `root` that match; those of another type are left out.
 *
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @param {new () => T} type
 * @returns {T[]}
 */
export function every(root, selector, type) {
  const isOne = /** @type {(found: Element) => found is T} */ ((found) => found instanceof type);
  return [...root.querySelectorAll(selector)].filter(isOne);
}

/**
 * The element around what an event is about that matches, or null.
 *
 * @template {Element} T
 * @param {Event} event
 * @param {string} selector
 * @param {new () => T} type
 * @returns {T | null}
 */
export function around({ target }, selector, type) {
  const found = target instanceof Element ? target.closest(selector) : null;
  return found instanceof type ? found : null;
}

/**
 * A copy of the first element of a template of the page.
 *
 * @param {ParentNode} root
 * @param {string} selector
 * @returns {HTMLElement}
 */
export function copyOf(root, selector) {
  const content = one(root, selector, HTMLTemplateElement).content.firstElementChild;
  return /** @type {HTMLElement} */ (content?.cloneNode(true));
}

/** What the server wrote into the page as JSON, in the element with this id. @param {string} id */
export function jsonOf(id) {
  return JSON.parse(document.getElementById(id)?.textContent ?? "");
}
