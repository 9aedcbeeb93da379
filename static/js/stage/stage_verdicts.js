// What an answer means for each fill: that it holds, comes back, or may be called mastered. Pure.

/** @typedef {{item: import("./practice_run.js").Item, entry: import("./run_log.js").LogEntry}} Logged */
/** @typedef {{says: string, mayMaster: boolean, item: import("./practice_run.js").Item}} Verdict */

const CLEAN = 0.75; // of the times through; `assignments.planner.clean` decides the same
const ENOUGH = 4; // times through at the tempo asked for, to call a fill mastered

/**
 * One for each fill about which there is something to say.
 *
 * @param {Logged[]} counted of which is said how many times through were clean
 * @returns {Verdict[]}
 */
export function verdicts(counted) {
  /** @type {Map<number | null, Logged[]>} */
  const byFill = new Map();
  for (const logged of counted) {
    const { variation } = logged.item;
    byFill.set(variation, [...(byFill.get(variation) ?? []), logged]);
  }
  return [...byFill.values()].flatMap(verdict);
}

/**
 * @param {Logged[]} all that was played of a fill
 * @returns {Verdict[]}
 */
function verdict(all) {
  const [{ item }] = all;
  const check = all.find((logged) => logged.item.recheck);
  if (check) return [{ says: checked(check), mayMaster: false, item }];
  const fast = all.filter(({ entry }) => entry.tempo >= item.goal);
  const loops = sum(fast, "loops");
  const isClean = loops >= ENOUGH && sum(fast, "clean_loops") >= CLEAN * loops;
  return item.mastered || !isClean ? [] : [{ says: `${item.name} came out clean at ${item.goal}.`, mayMaster: true, item }];
}

/** @param {Logged} check */
function checked({ item, entry }) {
  if ((entry.clean_loops ?? 0) >= CLEAN * (entry.loops ?? 0)) return `${item.name} holds.`;
  return `${item.name} came back. A few times slower, then again.`;
}

/**
 * @param {Logged[]} played
 * @param {"loops" | "clean_loops"} name
 */
const sum = (played, name) => played.reduce((before, { entry }) => before + (entry[name] ?? 0), 0);
