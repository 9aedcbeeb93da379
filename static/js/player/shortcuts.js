// Space starts and stops; while it plays, the arrow keys change the tempo.

/** @type {Record<string, number>} */
const STEPS = { ArrowUp: 1, ArrowDown: -1, ArrowRight: 5, ArrowLeft: -5 };
const TYPING = "input, select, textarea, [contenteditable], dialog";
const PRESSED_BY_SPACE = "button, summary, a";

/**
 * @param {HTMLElement} root of the player's panel
 * @param {import("./player.js").Player} player
 * @param {() => void} toggle
 */
export function listenForKeys(root, player, toggle) {
  addEventListener("keydown", (event) => {
    const { key } = event;
    const target = event.target instanceof Element ? event.target : null;
    if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
    if (target?.closest(TYPING)) return;
    if (key === " " && !target?.closest(PRESSED_BY_SPACE)) {
      event.preventDefault();
      if (!event.repeat) toggle();
    } else if (STEPS[key] && (player.state === "playing" || root.contains(target))) {
      event.preventDefault();
      player.set({ tempo: player.base + STEPS[key] });
    }
  });
}
