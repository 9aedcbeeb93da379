// Which sounds a block asks for. Pure.
import { wordsIn } from "./click_pattern.js";
import { SLOWEST } from "./settings.js";
import { EVERY } from "./sound_kit.js";

/** @typedef {import("./block.js").Block} Block */
/** @typedef {import("./settings.js").Settings} Settings */
/** @typedef {import("./sound_kit.js").Wanted} Wanted */

/** @type {Wanted[]} */
const CLICKS = [["count-in", "normal"], ["click", "normal"], ["click one", "normal"]];

/**
 * Surface and dynamic of every sound that the block can ask for, and the clicks.
 *
 * @param {Block} block
 */
export function wantedBy(block) {
  const { fill, landing, grooves, setups = {} } = block;
  const lists = [fill, landing, ...Object.values(grooves), ...Object.values(setups)];
  const sounds = lists.flat().map(({ surface, dynamic }) => /** @type {Wanted} */ ([surface, dynamic]));
  return [...new Map([...sounds, ...CLICKS].map((one) => [one.join(), one])).values()];
}

/**
 * What is welcome, and not needed: the words of a count, bass and chords.
 *
 * @param {Block} block
 * @param {Settings} settings
 * @returns {Wanted[]}
 */
export function spareOf(block, { voice, backing }) {
  const words = voice ? wordsIn(block, SLOWEST).map(({ name }) => name) : [];
  const tones = backing && block.backing ? ["bass", "keys"] : [];
  return [
    ...words.map((name) => /** @type {Wanted} */ ([name, "normal"])),
    ...tones.map((name) => /** @type {Wanted} */ ([name, EVERY])),
  ];
}
