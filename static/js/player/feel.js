// When notes sound that are written straight: by a feel the second of two comes later. Pure.
//
// The same as `Warp` and `swung` of `rhythms.engine.playback`, which say why.

/** @typedef {import("./block.js").Block} Block */
/** @typedef {import("./block.js").Feel} Feel */
/** @typedef {import("./block.js").Sound} Sound */
/** @typedef {{groove: string | null, feel: string | null}} Chosen of the player's settings */

/** @type {Feel} */
export const STRAIGHT = Object.freeze({ share: 0.5, pair: 1, words: "Straight" });

const HALF = 0.5; // quarters: tuplets are told by them
const FINEST = 1024; // parts of a quarter: no halving of beats goes further

/**
 * The name of the feel that is played: what is set, what the groove brings, or the block's own.
 *
 * @param {Block} block
 * @param {Chosen} settings
 */
export function feelOf(block, { groove, feel }) {
  if (feel !== null) return feel;
  const isOther = groove !== null && groove !== block.groove;
  return (isOther ? block.grooveFeels?.[groove] : undefined) ?? block.feel;
}

/**
 * The groove's name, the feel and how it moves each bar of groove; the bars of groove, those that lead into a fill by their place from the fill's first bar on, the
 * fill and the feet that keep going under it, where they are heard, and where other things of the
 * fill are. Of the groove from their own bar line.
 *
 * @param {Block} block
 * @param {Chosen} settings
 */
export function heard(block, settings) {
  const asked = settings.groove ?? block.groove;
  const name = asked in block.grooves ? asked : block.groove;
  // A page kept on the device may be older: what it knows of no feel is straight.
  const feel = block.feels?.[feelOf(block, settings) ?? ""] ?? STRAIGHT;
  const warp = new Warp(feel, block.tuplets ?? []);
  const { grooves, grooveBars = {}, setups = {}, setupBars = [-1] } = block;
  const bars = (/** @type {Sound[]} */ list, /** @type {number} */ number) =>
    barsOf(list, number, block.bar).map((bar) => aBarSwung(bar, feel));
  const warps = barsOf(grooves[name], grooveBars[name] ?? 1, block.bar).map((bar) => barWarp(bar, feel));
  const leading = name in setups ? bars(setups[name], setupBars.length) : [];
  return {
    name,
    feel,
    warps,
    groove: bars(grooves[name], grooveBars[name] ?? 1),
    setups: new Map(leading.map((bar, place) => [setupBars[place], bar])),
    fill: swung(block.fill, warp),
    feet: swung(block.feet ?? [], warp),
    warp,
  };
}

/**
 * @param {Sound[]} list of bars, one after the other
 * @param {number} length how many there are
 * @param {number} bar the length of each
 */
function barsOf(list, length, bar) {
  return Array.from({ length }, (_, number) => {
    const start = number * bar;
    const inside = list.filter(({ onset }) => start <= onset && onset < start + bar);
    return inside.map((sound) => ({ ...sound, onset: sound.onset - start }));
  });
}

/**
 * @param {Sound[]} bar of groove
 * @param {Feel} feel
 */
function aBarSwung(bar, feel) {
  return swung(bar, barWarp(bar, feel));
}

/**
 * @param {Sound[]} bar of groove
 * @param {Feel} feel
 */
function barWarp(bar, feel) {
  return new Warp(feel, tupletsAmong(bar.map(({ onset }) => onset)));
}

export class Warp {
  /**
   * @param {Feel} feel
   * @param {Iterable<number>} tuplets halves of quarters, by number, that sound as written
   */
  constructor({ share, pair }, tuplets) {
    this.share = share;
    this.pair = pair;
    this.still = new Set([...tuplets].map((half) => Math.floor((half * HALF) / pair)));
  }

  /** In quarters from the bar line, as is what it gives. @param {number} onset */
  sounding(onset) {
    const { share, pair } = this;
    const number = Math.floor(onset / pair);
    if (share === 0.5 || this.still.has(number)) return onset;
    const part = onset / pair - number;
    const moved = part <= 0.5 ? 2 * part * share : 1 - 2 * (1 - part) * (1 - share);
    return (number + moved) * pair;
  }
}

/**
 * The halves of quarters with an onset that halving beats never comes to.
 *
 * @param {number[]} onsets
 */
export function tupletsAmong(onsets) {
  return onsets.filter((onset) => !Number.isInteger(onset * FINEST)).map((onset) => Math.floor(onset / HALF));
}

/**
 * The sounds, in order and as written, where they are heard. Grace notes stay as near to the stroke
 * after them, nearer where the stroke before would leave no room.
 *
 * @param {Sound[]} list
 * @param {Warp} warp
 * @returns {Sound[]}
 */
export function swung(list, warp) {
  /** @type {Sound[]} */
  const played = [];
  /** @type {Sound[]} */
  let graces = [];
  let before = -Infinity;
  for (const sound of list) {
    if (sound.grace) {
      graces.push(sound);
      continue;
    }
    const at = warp.sounding(sound.onset);
    const closer = squeeze(graces, sound, at - before);
    for (const grace of graces) played.push({ ...grace, onset: at - (sound.onset - grace.onset) * closer });
    played.push({ ...sound, onset: at });
    before = at;
    graces = [];
  }
  return played;
}

/**
 * How much closer grace notes come: they share their room evenly, where it is too small.
 *
 * @param {Sound[]} graces
 * @param {Sound} stroke
 * @param {number} room
 */
function squeeze(graces, stroke, room) {
  if (!graces.length || !room) return 1;
  const lead = stroke.onset - graces[0].onset;
  return Math.min(1, (room * graces.length) / (graces.length + 1) / lead);
}
