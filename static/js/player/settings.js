// How a block is played: what can be set, and what holds where nothing is.
import { USUAL_SOUND } from "./kept_sound.js";

/**
 * What is played, and how.
 *
 * @typedef {object} Asked
 * @property {number} tempo quarters a minute
 * @property {number} loops 0: for ever
 * @property {number} countIn bars
 * @property {string | null} groove a name among the block's grooves; null: the block's own
 * @property {string | null} feel a name among the block's feels; null: the groove's, else the block's own
 * @property {boolean} fillAlone
 * @property {boolean} muteFill
 * @property {boolean} slow half the tempo
 * @property {number} ladderBy quarters a minute faster …
 * @property {number} ladderEvery … after so many loops
 */
/** @typedef {Asked & import("./kept_sound.js").SoundSettings} Settings */

export const SLOWEST = 30;
export const FASTEST = 240;

/** @type {Readonly<Settings>} */
export const DEFAULTS = Object.freeze({
  tempo: 80,
  loops: 4,
  countIn: 1,
  groove: null,
  feel: null,
  fillAlone: false,
  muteFill: false,
  slow: false,
  ladderBy: 0,
  ladderEvery: 4,
  ...USUAL_SOUND,
});

/**
 * Changes of these begin the loop anew; the others are taken up where the music is.
 *
 * @type {readonly (keyof Settings)[]}
 */
export const SHAPING = Object.freeze(["countIn", "fillAlone"]);
