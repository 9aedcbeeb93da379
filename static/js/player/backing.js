// Bass and chords under a bar, as `rhythms.engine.playback.backing` has them. Pure.

/** @typedef {import("./block.js").Block} Block */
/** @typedef {import("./block.js").BackingNote} BackingNote */
/** @typedef {{type: "tone", onset: number, quarters: number, name: "bass" | "keys", pitch: number}} Tone */

/**
 * What is played in a bar of the block, or on the *one* after it, where the fill has landed.
 *
 * @param {Block} block
 * @param {string} groove its name
 * @param {number} bar from 0; as many as the block has: the landing
 * @param {(onset: number) => boolean} isGroove whether the groove goes on at a time of the bar
 * @returns {Tone[]}
 */
export function tonesIn({ backing, bar: length, bars }, groove, bar, isGroove) {
  const patterns = backing?.bass[groove];
  if (!backing || !patterns) return [];
  const { bass, keys } = backing.chords[bar];
  const isLanding = bar === bars;
  const under = (/** @type {BackingNote[]} */ pattern) => held(pattern, isLanding ? () => false : isGroove, length);
  return [
    ...under(patterns[bar % patterns.length]).map(([onset, quarters, step]) => {
      return /** @type {Tone} */ ({ type: "tone", onset, quarters, name: "bass", pitch: bass[step] });
    }),
    ...under(backing.keys).flatMap(([onset, quarters]) =>
      keys.map((pitch) => /** @type {Tone} */ ({ type: "tone", onset, quarters, name: "keys", pitch })),
    ),
  ];
}

/**
 * Where groove goes on throughout, the pattern; else the *one*, and each note held up to the next:
 * the last of them holds through the fill.
 *
 * @param {BackingNote[]} pattern
 * @param {(onset: number) => boolean} isGroove
 * @param {number} length of the bar
 * @returns {BackingNote[]}
 */
function held(pattern, isGroove, length) {
  const played = pattern.filter(([onset]) => isGroove(onset));
  if (played.length === pattern.length) return pattern;
  /** @type {BackingNote[]} */
  const all = played[0]?.[0] === 0 ? played : [[0, length, 0], ...played];
  return all.map(([onset, , step], index) => [onset, (all[index + 1]?.[0] ?? length) - onset, step]);
}
