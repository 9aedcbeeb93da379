// What was played of each fill, and how many of these times through came out clean. Pure.
import { timesInWords } from "../practice/kept_words.js";

/** @typedef {import("../practice/kept_practice.js").KeptPractice} KeptPractice */
/** @typedef {import("./practice_run.js").Item} Item */
/** @typedef {Pick<KeptPractice, "counted" | "how">} Played */
/**
 * All that was kept of one fill; of one that is played cold, or in a simpler form, apart.
 *
 * @template {Played} [Kept=KeptPractice]
 * @typedef {{item: Item, all: Kept[]}} FillPlayed
 */

/**
 * One for each fill, in the order in which they were first played.
 *
 * @template {Played} Kept
 * @param {Iterable<[Kept, Item]>} played
 * @returns {FillPlayed<Kept>[]}
 */
export function byFill(played) {
  /** @type {Map<string, FillPlayed<Kept>>} */
  const found = new Map();
  for (const [kept, item] of played) {
    const key = [item.variation, item.recheck, Boolean(item.easier)].join();
    const before = found.get(key)?.all ?? [];
    found.set(key, { item, all: [...before, kept] });
  }
  return [...found.values()];
}

/** How many times through in all. @param {FillPlayed<Played>} fill */
export const timesOf = ({ all }) => all.reduce((before, { counted }) => before + counted.loops, 0);

/** How many of them are said to be clean; null where that was not said of all. @param {FillPlayed<Played>} fill */
export function cleanOf({ all }) {
  const said = all.map(({ how }) => how.clean_loops);
  return said.includes(null) ? null : said.reduce((before, clean) => Number(before) + Number(clean), 0);
}

/** "once through at 88", "6 times through at 80 to 84" @param {FillPlayed<Played>} fill */
export function playedInWords(fill) {
  const tempos = fill.all.flatMap(({ counted }) => (counted.tempo ? [Math.round(counted.tempo)] : []));
  const [least, most] = [Math.min(...tempos), Math.max(...tempos)];
  const at = tempos.length ? ` at ${least === most ? least : `${least} to ${most}`}` : "";
  return `${timesInWords(timesOf(fill))}${at}`;
}

/**
 * How many of each that was kept were clean, when so many of all were: in proportion to how often
 * each was played.
 *
 * @param {FillPlayed<Played>} fill
 * @param {number | null} clean
 */
export function shared(fill, clean) {
  const times = timesOf(fill);
  let [before, given] = [0, 0];
  return fill.all.map(({ counted }) => {
    if (clean === null) return null;
    before += counted.loops;
    const upToHere = Math.round((clean * before) / times);
    const own = upToHere - given;
    given = upToHere;
    return own;
  });
}
