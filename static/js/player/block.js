// What a block of groove and fill is, as `rhythms.notation.block_json` writes it; positions in quarters.

/** @typedef {{share: number, pair: number, words: string}} Feel what the first of a `pair` takes of it */

/**
 * One strike. `note` is the index of the fill's stroke, in a groove that of the engraved groove's,
 * or null; a grace note lies before its own.
 *
 * @typedef {{onset: number, surface: string, dynamic: string, note: number | null, grace: boolean}} Sound
 */
/** @typedef {{onset: number, number: number}} Beat */
/** @typedef {{onset: number, label: string, struck: boolean}} Count what is said, and whether a stroke falls there */

/** @typedef {[onset: number, quarters: number, step: number]} BackingNote `step` 0: the root, 1: the fifth */

/**
 * Bass and chords: a chord for each bar and one to land on, in MIDI pitches, the bass its root and
 * fifth; what the bass plays of them in each bar of a groove, and the keys in every bar.
 *
 * @typedef {object} Backing
 * @property {{bass: [number, number], keys: number[]}[]} chords
 * @property {Record<string, BackingNote[][]>} bass
 * @property {BackingNote[]} keys
 */

/**
 * All as written: `feel` names one of `feels`, by which it is played, `grooveFeels` what grooves
 * bring with them; `tuplets` are halves of quarters of the fill that no feel moves.
 * `bar` is a bar's length, `bars` their number, the last `fillBars` of them the fill's; `groove`
 * names one of `grooves`, each of as many bars as `grooveBars` says, and goes on in the fill's bars
 * up to `fillStart`, and in all of its `grooveSpans` (from, to) where they are said, from the fill's
 * bar line; the last whole bar before each fill, one of `setupBars` from the fill's first bar on, is
 * that of `setups`, where there are as many one after the other; `tempo` and `loops` are there where
 * somebody asked for them.
 *
 * @typedef {object} Block
 * @property {string} meter such as "4/4"
 * @property {number} bar
 * @property {number} bars
 * @property {number} [fillBars] 1 where it is not said
 * @property {Beat[]} beats
 * @property {Count[]} counts
 * @property {string} groove
 * @property {Record<string, Sound[]>} grooves
 * @property {Record<string, number>} [grooveBars] 1 where it is not said
 * @property {Record<string, Sound[]>} [setups]
 * @property {number[]} [setupBars] -1, the bar before the fill's, where it is not said
 * @property {number} fillStart
 * @property {[number, number][]} [grooveSpans]
 * @property {Sound[]} fill
 * @property {Sound[]} [feet] what the feet keep playing under it, whoever mutes the fill
 * @property {Sound[]} landing
 * @property {Backing | null} [backing] what is played with it, where that is wanted
 * @property {string} [feel] straight where it is not said
 * @property {Record<string, Feel>} [feels]
 * @property {Record<string, string>} [grooveFeels]
 * @property {number[]} [tuplets]
 * @property {number} [tempo]
 * @property {number} [loops]
 */

export {};
