// What the sounds of a block strike, and which strokes of its engravings that lights. Pure.

/** @typedef {import("./block.js").Sound} Sound */
/** @typedef {import("./levels.js").Part} Part */
/** @typedef {{type: "sound", surface: string, dynamic: string, note: number | null, part: Part}} SoundEvent */

/** The first sound of each engraved stroke, but for its grace notes. @param {Sound[]} list in order */
export function strokesOf(list) {
  const struck = list.filter(({ grace, note }) => !grace && note !== null);
  return struck.filter(({ note }, place) => note !== struck[place - 1]?.note);
}

/**
 * @param {Sound[]} list
 * @param {Part} part
 * @returns {(SoundEvent & {onset: number})[]}
 */
export function soundsOf(list, part) {
  return list.map(({ onset, surface, dynamic, note }) => ({
    type: "sound",
    part,
    onset,
    surface,
    dynamic,
    note: part === "fill" ? note : null,
  }));
}
