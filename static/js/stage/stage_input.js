// What is touched on the stage: taps and swipes, by a finger or a stick's end; keys, and pedals that
// send them.
import { around } from "../site/dom.js";

/**
 * What can be asked of the stage.
 *
 * @typedef {object} Asked
 * @property {boolean} isOver
 * @property {() => void} toggle
 * @property {() => void} next
 * @property {() => void} back
 * @property {(by: 1 | -1) => void} faster
 * @property {() => void} end
 * @property {import("./stage_ending.js").Ending} ending
 * @property {import("./stage_overlay.js").Overlay} overlay
 */

const SWIPE = 48; // px
const TAP = 12; // px that a finger may slip
const ANSWERS = new Map([["1", "all"], ["2", "some"], ["3", "none"]]);

/** @type {Record<string, (stage: Asked) => void>} */
const KEYS = {
  " ": (stage) => stage.toggle(),
  PageDown: (stage) => stage.toggle(),
  PageUp: (stage) => stage.next(),
  ArrowRight: (stage) => stage.faster(1),
  ArrowLeft: (stage) => stage.faster(-1),
  ArrowUp: (stage) => stage.back(),
  ArrowDown: (stage) => stage.next(),
  Escape: (stage) => stage.end(),
};
/** Those that go on while they are held down. */
const REPEATED = ["ArrowRight", "ArrowLeft"];

/**
 * @param {HTMLElement} root
 * @param {Asked} stage
 */
export function listen(root, stage) {
  /** @type {Record<string, () => void>} */
  const buttons = {
    "[data-stage-play]": () => stage.toggle(),
    "[data-stage-end]": () => stage.end(),
    "[data-stage-next]": () => stage.next(),
    "[data-stage-back]": () => stage.back(),
    '[data-stage-tempo-by="-2"]': () => stage.faster(-1),
    '[data-stage-tempo-by="2"]': () => stage.faster(1),
  };
  root.addEventListener("click", (event) => {
    if (event.detail > 0 && swiped) return;
    const act = Object.entries(buttons).find(([name]) => around(event, name, HTMLElement))?.[1];
    act?.();
    // A finger leaves no focus behind, so that the space bar starts and stops.
    if (act && event.detail > 0 && !stage.isOver) root.focus({ preventScroll: true });
  });
  listenForTouches(root, stage);
  // Before the page below hears of them.
  addEventListener("keydown", (event) => stage.overlay.isOpen && pressed(event, stage), { capture: true });
}

/** Whether the finger that is lifted now went aside: then it pressed no button. */
let swiped = false;

/**
 * @param {HTMLElement} root
 * @param {Asked} stage
 */
function listenForTouches(root, stage) {
  /** @type {{x: number, y: number} | null} */
  let from = null;
  root.addEventListener("pointerdown", ({ clientX: x, clientY: y, isPrimary }) => {
    swiped = false;
    from = isPrimary ? { x, y } : null;
  });
  root.addEventListener("pointercancel", () => (from = null));
  root.addEventListener("pointerup", (event) => {
    if (!from || stage.isOver) return;
    const [aside, down] = [event.clientX - from.x, event.clientY - from.y];
    from = null;
    if (Math.abs(aside) >= SWIPE && Math.abs(aside) > 2 * Math.abs(down)) {
      swiped = true;
      if (aside < 0) stage.next();
      else stage.back();
    } else if (Math.hypot(aside, down) <= TAP && startsAndStops(event, root)) {
      stage.toggle();
    }
  });
}

/**
 * The notation, and all of the lower half beside the buttons.
 *
 * @param {PointerEvent} event
 * @param {HTMLElement} root
 */
function startsAndStops(event, root) {
  if (around(event, "button, a", HTMLElement)) return false;
  return Boolean(around(event, "[data-stage-notation]", HTMLElement)) || event.clientY > root.clientHeight / 2;
}

/**
 * @param {KeyboardEvent} event
 * @param {Asked} stage
 */
function pressed(event, stage) {
  const { key } = event;
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  event.stopImmediatePropagation();
  if (key !== "Escape" && around(event, "input", HTMLElement)) return;
  const answer = ANSWERS.get(key);
  if (stage.isOver && answer) {
    stage.ending.answer(answer);
    return;
  }
  const act = KEYS[key];
  const isButtons = key === " " && around(event, "button, a", HTMLElement);
  if (!act || isButtons || (stage.isOver && key !== "Escape")) return;
  event.preventDefault();
  if (!event.repeat || REPEATED.includes(key)) act(stage);
}
