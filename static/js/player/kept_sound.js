// How it sounds on this device, whatever is played: kept here, for every page and the stage.
import { TOP, USUAL_LEVELS } from "./levels.js";

/** @typedef {import("./levels.js").Levels} Levels */
/** @typedef {"beats" | "one" | "eighths" | "triplets" | "16ths" | "off"} ClickOn */
/**
 * @typedef {object} Heard
 * @property {ClickOn} click what is clicked in a bar
 * @property {boolean} accent whether the one is told apart
 * @property {"none" | "every other bar" | "two and two"} gaps bars in which it is silent
 * @property {boolean} voice whether a voice counts in, and no sticks
 * @property {boolean} backing bass and chords
 */
/** @typedef {Heard & Levels} SoundSettings */

const PLACE = "fillwright-sound";

/** @type {Readonly<SoundSettings>} */
export const USUAL_SOUND = Object.freeze({
  click: "beats",
  accent: true,
  gaps: "none",
  voice: false,
  backing: false,
  ...USUAL_LEVELS,
});

/** What else each may be; of the others, what is of the usual one's kind. @type {Partial<Record<keyof SoundSettings, string[]>>} */
const CHOICES = {
  click: ["beats", "one", "eighths", "triplets", "16ths", "off"],
  gaps: ["none", "every other bar", "two and two"],
  output: ["headphones", "phone"],
};

/** @param {string} name @returns {name is keyof SoundSettings} */
export const isSound = (name) => name in USUAL_SOUND;

/** What was chosen here, and the usual for anything else. @returns {SoundSettings} */
export function keptSound() {
  return { ...USUAL_SOUND, ...sound(stored()) };
}

/** @type {((changes: Partial<SoundSettings>) => void)[]} */
const listeners = [];

/** Called with every change on this page. @param {(changes: Partial<SoundSettings>) => void} listener */
export function onSound(listener) {
  listeners.push(listener);
}

/** @param {Partial<SoundSettings>} changes */
export function keepSound(changes) {
  try {
    localStorage.setItem(PLACE, JSON.stringify({ ...sound(stored()), ...changes }));
  } catch {
    // No room, or nothing may be kept here: it is heard all the same.
  }
  for (const listener of listeners) listener(changes);
}

/** @returns {unknown} */
function stored() {
  try {
    return JSON.parse(localStorage.getItem(PLACE) ?? "{}");
  } catch {
    return {}; // damaged, or nothing may be read here
  }
}

/**
 * What of it is a setting, with a value that it can have.
 *
 * @param {unknown} found
 * @returns {Partial<SoundSettings>}
 */
function sound(found) {
  if (!found || typeof found !== "object") return {};
  return Object.fromEntries(Object.entries(found).filter(([name, value]) => isSound(name) && fits(name, value)));
}

/**
 * @param {keyof SoundSettings} name
 * @param {unknown} value
 */
function fits(name, value) {
  const choices = CHOICES[name];
  if (choices) return typeof value === "string" && choices.includes(value);
  if (typeof USUAL_SOUND[name] === "boolean") return typeof value === "boolean";
  return typeof value === "number" && value >= 0 && value <= TOP;
}
