// What an answer means for each fill: that it holds, comes back, or may be called mastered. Pure.

/** @typedef {{item: import("./practice_run.js").Item, loops: number, clean: number, tempo: number | null}} Answered */
/** @typedef {{says: string, mayMaster: boolean, item: import("./practice_run.js").Item}} Verdict */

const CLEAN = 0.75; // of the times through; `assignments.planner.clean` decides the same
const ENOUGH = 4; // times through at the tempo asked for, to call a fill mastered

/**
 * One for each fill about which there is something to say.
 *
 * @param {Answered[]} answered
 * @returns {Verdict[]}
 */
export function verdicts(answered) {
  /** @type {Map<number | null, Answered[]>} */
  const byFill = new Map();
  for (const one of answered) {
    if (one.item.easier) continue; // a simpler form says nothing of the fill
    const { variation } = one.item;
    byFill.set(variation, [...(byFill.get(variation) ?? []), one]);
  }
  return [...byFill.values()].flatMap(verdict);
}

/**
 * @param {Answered[]} all that was played of a fill
 * @returns {Verdict[]}
 */
function verdict(all) {
  const [{ item }] = all;
  const check = all.find(({ item: { recheck } }) => recheck);
  if (check) return [{ says: checked(check), mayMaster: false, item }];
  const fast = all.filter(({ tempo }) => Math.round(tempo ?? 0) >= item.goal);
  const loops = sum(fast, "loops");
  const isClean = loops >= ENOUGH && sum(fast, "clean") >= CLEAN * loops;
  return item.mastered || !isClean ? [] : [{ says: `${item.name} came out clean at ${item.goal}.`, mayMaster: true, item }];
}

/** @param {Answered} check */
function checked({ item, loops, clean }) {
  if (clean >= CLEAN * loops) return `${item.name} holds.`;
  return `${item.name} came back. A few times slower, then again.`;
}

/**
 * @param {Answered[]} all
 * @param {"loops" | "clean"} name
 */
const sum = (all, name) => all.reduce((before, one) => before + one[name], 0);
