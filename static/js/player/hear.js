// "Hear" beside an engraving: the fill once, alone, its notes lit; a second touch stops it. A button
// with `data-hear-along` has settings of its own for that, and `data-hear-says` its verb.
// One player serves all buttons of a page, those that come later too.
import { around, part } from "../site/dom.js";
import { Light } from "./note_light.js";
import { Player } from "./player.js";

/** @typedef {import("./block.js").Block} Block */

/** @type {Partial<import("./schedule.js").Settings>} */
const ALONE = { loops: 1, countIn: 0, click: "off", fillAlone: true };

/** @type {Player | null} */
let player = null;
/** @type {HTMLButtonElement | null} */
let button = null;
let light = new Light(null);
let isOn = false; // from the touch to the end, while it is fetched too
/** @type {Map<string, Promise<Block>>} */
const fetched = new Map();

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
  isOn = isPlaying;
  write(isPlaying ? "Stop" : (button?.dataset.hearSays ?? "Hear"));
  if (!isPlaying) light.off();
}

/** @param {string} sounds the address of the manifest */
function newPlayer(sounds) {
  const made = new Player({ sounds, alone: true });
  made.on("note", ({ note }) => light.on(note));
  made.on("state", ({ state }) => {
    if (state === "stopped" || state === "paused") show(false);
  });
  made.on("trouble", fail);
  return made;
}

function fail() {
  show(false);
  write("No sounds came. Try again");
}

/**
 * What a button plays: written into it, or at the address that it names, asked for once.
 *
 * @param {HTMLButtonElement} touched
 * @returns {Promise<Block>}
 */
async function playedBy({ dataset }) {
  const { hear: written, hearFrom: address } = dataset;
  if (!address) return JSON.parse(written ?? "");
  const known = fetched.get(address) ?? fetchedFrom(address);
  fetched.set(address, known);
  return known;
}

/**
 * @param {string} address
 * @returns {Promise<Block>}
 */
async function fetchedFrom(address) {
  try {
    const answer = await fetch(address, { headers: { Accept: "application/json" } });
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    return await answer.json();
  } catch (error) {
    fetched.delete(address); // the next touch asks again
    throw error;
  }
}

/**
 * Once, alone; or what the button says, such as over and over behind a count-in, to play along.
 *
 * @param {HTMLButtonElement} touched
 * @returns {Partial<import("./schedule.js").Settings>}
 */
function settingsOf({ dataset }) {
  return dataset.hearAlong ? { ...ALONE, ...JSON.parse(dataset.hearAlong) } : ALONE;
}

/** @param {HTMLButtonElement} touched */
async function hear(touched) {
  const isAgain = touched === button && isOn;
  player?.stop();
  show(false);
  if (isAgain) return;
  button = touched;
  player ??= newPlayer(button.dataset.sounds ?? "");
  light = new Light(engravingBeside(button));
  player.wake();
  show(true);
  try {
    const block = await playedBy(touched);
    if (touched !== button || !isOn) return; // stopped meanwhile, or another one
    player.load(block, settingsOf(touched));
    player.start();
  } catch {
    if (touched === button && isOn) fail();
  }
}

document.addEventListener("click", (event) => {
  const touched = around(event, "button[data-hear], button[data-hear-from]", HTMLButtonElement);
  if (touched) hear(touched);
});
// What is swapped out falls silent.
document.body.addEventListener("htmx:afterSwap", () => {
  if (!button || button.isConnected) return;
  player?.stop();
  isOn = false;
});
