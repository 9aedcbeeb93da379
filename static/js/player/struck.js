// What the sounds of a block strike, and which strokes of its engravings that lights. Pure.

/** @typedef {import("./block.js").Sound} Sound */

/** The first sound of each engraved stroke, but for its grace notes. @param {Sound[]} list in order */
export function strokesOf(list) {
  const struck = list.filter(({ grace, note }) => !grace && note !== null);
  return struck.filter(({ note }, place) => note !== struck[place - 1]?.note);
}

/**
 * @param {Sound[]} list
 * @param {import("./levels.js").Part} part
 * @returns {import("./schedule.js").Placeable[]}
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
