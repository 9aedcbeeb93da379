// A long line scrolls in its field; the caret below stays under its column.

/**
 * @param {HTMLInputElement} line
 * @param {ParentNode} around where its caret is
 */
export function followLine(line, around) {
  const caret = around.querySelector(".caret-line");
  if (caret instanceof HTMLElement) caret.style.textIndent = `${-line.scrollLeft}px`;
}
