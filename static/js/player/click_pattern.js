// What clicks in a bar, and what is said in one that counts in. Pure.
import { Warp } from "./feel.js";

/** @typedef {import("./block.js").Block} Block */
/** @typedef {import("./block.js").Feel} Feel */
/** @typedef {import("./kept_sound.js").Heard} Heard */
/** @typedef {{onset: number, name: string, level: number}} Clicked quarters from the bar line */

const PARTS = { eighths: 0.5, "16ths": 0.25 }; // quarters
const BETWEEN = 0.4; // how loud what is between the beats is
const SHORTEST = 0.25; // seconds from a word to the next
const WORDS = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen".split(" ");

/**
 * @param {Block} block
 * @param {Pick<Heard, "click" | "accent">} settings
 * @param {Feel} feel by which what is between the beats is moved
 * @returns {Clicked[]}
 */
export function clicksIn(block, { click, accent }, feel) {
  const beats = block.beats.map(({ onset }) => onset);
  return onsetsOf(block, click, feel).map((onset) => ({
    onset,
    name: accent && onset === 0 ? "click one" : "click",
    level: beats.includes(onset) ? 1 : BETWEEN,
  }));
}

/**
 * @param {Block} block
 * @param {Heard["click"]} click
 * @param {Feel} feel
 */
function onsetsOf({ bar, beats }, click, feel) {
  const onsets = beats.map(({ onset }) => onset);
  if (click === "off") return [];
  if (click === "one") return [0];
  if (click === "beats") return onsets;
  if (click === "triplets") {
    return onsets.flatMap((onset, index) => {
      const length = (onsets[index + 1] ?? bar) - onset;
      return [0, 1, 2].map((part) => onset + (part * length) / 3);
    });
  }
  const warp = new Warp(feel, []);
  const part = PARTS[click];
  return Array.from({ length: Math.round(bar / part) }, (_, number) => warp.sounding(number * part));
}

/**
 * Whether the click is silent in a bar.
 *
 * @param {Heard["gaps"]} gaps
 * @param {number} number of the bar since the count-in, from 0
 */
export function isGap(gaps, number) {
  if (gaps === "every other bar") return number % 2 === 1;
  return gaps === "two and two" && number % 4 >= 2;
}

/**
 * What a voice says in a bar that counts in: every count, or the beats where those come too fast.
 *
 * @param {Block} block
 * @param {number} tempo quarters a minute, as it sounds
 * @returns {Clicked[]}
 */
export function wordsIn({ meter, beats }, tempo) {
  const [, counts, unit] = /^(\d+)\/(\d+)/.exec(meter) ?? [];
  const length = 4 / Number(unit);
  const all = Array.from({ length: Number(counts) }, (_, index) => ({ onset: index * length, number: index + 1 }));
  const isSlow = (length * 60) / tempo >= SHORTEST;
  const said = unit === "8" && isSlow ? all : beats;
  return said.flatMap(({ onset, number }) => {
    const word = WORDS[number - 1];
    return word ? [{ onset, name: `say ${word}`, level: 1 }] : [];
  });
}
