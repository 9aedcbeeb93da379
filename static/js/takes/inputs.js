// Where strokes come from: pads on the page, keys of the computer, an electronic kit by MIDI.
import { around, every } from "../site/dom.js";

/**
 * Called with each stroke: the time of the page's clock, the key, how hard, "pads" or "web midi".
 *
 * @typedef {(time: number, key: number, velocity: number, source: string) => void} OnHit
 */

export const ASKING = "Asking the browser for a kit …";
export const REFUSED = "The browser does not let this page hear a kit. Connect the kit, allow it in the browser, then ask again; or use the pads, or send a MIDI file.";

/** Whether this browser can hear an electronic kit at all. */
export const hearsKits = () => "requestMIDIAccess" in navigator;

const NOTE_ON = 0x90;
const LOUD = 100;
const TYPING = "input, select, textarea, [contenteditable], dialog";

/**
 * @param {HTMLElement} root
 * @param {OnHit} onHit
 */
export function listenToPads(root, onHit) {
  root.addEventListener("pointerdown", (event) => {
    const pad = around(event, "[data-pad]", HTMLElement);
    if (!pad) return;
    event.preventDefault();
    strike(pad, event.timeStamp, onHit);
  });
  // A click without a pointer comes from Enter, or from whoever assists: it is a stroke too.
  root.addEventListener("click", (event) => {
    const pad = around(event, "[data-pad]", HTMLElement);
    if (pad && event.detail === 0 && !pad.dataset.byKey) strike(pad, event.timeStamp, onHit);
  });
  // Two thumbs must not zoom the page.
  root.addEventListener("touchmove", (event) => event.preventDefault(), { passive: false });
}

/**
 * @param {HTMLElement} root
 * @param {OnHit} onHit
 * @param {() => boolean} isWanted whether keys are strokes now
 */
export function listenToKeys(root, onHit, isWanted = () => true) {
  const pads = new Map(every(root, "[data-code]", HTMLElement).map((pad) => [pad.dataset.code, pad]));
  addEventListener("keydown", (event) => {
    const pad = pads.get(event.code);
    if (!pad || event.ctrlKey || event.metaKey || event.altKey || isTyping(event)) return;
    if (!isWanted()) return;
    event.preventDefault();
    if (!event.repeat) strike(pad, event.timeStamp, onHit);
  });
  // The space bar must not press the button that has the focus as well.
  addEventListener("keyup", (event) => {
    if (pads.has(event.code) && isWanted() && !isTyping(event)) event.preventDefault();
  });
}

/**
 * @param {OnHit} onHit
 * @param {(names: string[]) => void} onChange tells of inputs that come and go
 * @returns {Promise<string[]>} the names of the inputs
 */
export async function listenToMidi(onHit, onChange = () => {}) {
  const access = await navigator.requestMIDIAccess();
  const names = () => [...access.inputs.values()].filter((input) => input.state !== "disconnected").map((input) => input.name ?? "kit");
  /** @param {MIDIMessageEvent} event */
  const hear = ({ data, timeStamp }) => {
    const [status, key, velocity] = data ?? [];
    if ((status & 0xf0) === NOTE_ON && velocity > 0) onHit(timeStamp, key, velocity, "web midi");
  };
  const connect = () => {
    for (const input of access.inputs.values()) input.onmidimessage = hear;
  };
  connect();
  access.onstatechange = () => {
    connect();
    onChange(names());
  };
  return names();
}

/** @param {Event} event */
const isTyping = (event) => around(event, TYPING, Element) !== null;

/**
 * @param {HTMLElement} pad
 * @param {number} time
 * @param {OnHit} onHit
 */
function strike(pad, time, onHit) {
  pad.classList.remove("pad-struck");
  void pad.offsetWidth; // so that a second stroke shows too
  pad.classList.add("pad-struck");
  onHit(time, Number(pad.dataset.pad), LOUD, "pads");
}
