// "Hear" beside an engraving: the fill once, alone, its notes lit; a second touch stops it.
import { around, part } from "../site/dom.js";
import { Light } from "./note_light.js";
import { Player } from "./player.js";

/** @type {Partial<import("./schedule.js").Settings>} */
const ALONE = { loops: 1, countIn: 0, click: "off", fillAlone: true };

/** @type {Player | null} */
let player = null;
/** @type {HTMLButtonElement | null} */
let button = null;
let light = new Light(null);

/**
 * The smallest part of the page around the button that holds an engraving, there or on its way.
 *
 * @param {Element} element
 * @returns {Element | null}
 */
function engravingBeside(element) {
  const parent = element.parentElement;
  return !parent || parent.querySelector(".notation") ? parent : engravingBeside(parent);
}

/** @param {string} verb */
function write(verb) {
  if (button) part(button, "[data-hear-verb]").textContent = verb;
}

/** @param {boolean} isPlaying */
function show(isPlaying) {
  write(isPlaying ? "Stop" : "Hear");
  if (!isPlaying) light.off();
}

/** @param {string} sounds the address of the manifest */
function newPlayer(sounds) {
  const made = new Player({ sounds });
  made.on("note", ({ note }) => light.on(note));
  made.on("state", ({ state }) => show(["playing", "loading"].includes(state)));
  made.on("trouble", () => write("No sounds came. Try again"));
  return made;
}

/** @param {HTMLButtonElement} touched */
function hear(touched) {
  const isAgain = touched === button && player?.state !== "stopped";
  player?.stop();
  if (isAgain) return;
  button = touched;
  player ??= newPlayer(button.dataset.sounds ?? "");
  light = new Light(engravingBeside(button));
  player.load(JSON.parse(button.dataset.hear ?? ""), ALONE);
  player.start();
}

document.addEventListener("click", (event) => {
  const touched = around(event, "button[data-hear]", HTMLButtonElement);
  if (touched) hear(touched);
});
// What is swapped out falls silent.
document.body.addEventListener("htmx:afterSwap", () => {
  if (button && !button.isConnected) player?.stop();
});
