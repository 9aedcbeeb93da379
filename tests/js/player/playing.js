// What a schedule gives, asked for as the player asks: in windows that touch.
import { Schedule } from "../../../static/js/player/schedule.js";
import { expected } from "../expected.js";

/** @typedef {import("../../../static/js/player/schedule.js").Block} Block */
/** @typedef {import("../../../static/js/player/schedule.js").Settings} Settings */
/** @typedef {import("../../../static/js/player/schedule.js").ScheduleEvent} ScheduleEvent */

/**
 * @typedef {object} Asked
 * @property {Block} [block]
 * @property {number} [until] seconds
 * @property {number} [step] the length of a window
 * @property {{done?: number}} [start]
 * @property {{time: number, settings: Partial<Settings>}} [change] of the settings, at a time
 */

export const ONE_A_SECOND = 60; // a quarter; so a bar of 4/4 is four seconds

/** Rock and a fill of eighths on the snare; groove but for the last bar. @returns {Block} */
export const aBlock = (bars = 4) => ({ ...expected("plain_block.json"), bars });

/**
 * @param {Partial<Settings>} settings
 * @param {Asked} asked
 */
export function events(settings = {}, { block = aBlock(), until = 64, step = 0.25, start = {}, change } = {}) {
  let schedule = new Schedule(block, { tempo: ONE_A_SECOND, loops: 1, ...settings }, start);
  /** @type {ScheduleEvent[]} */
  const found = [];
  for (let number = 0; number * step < until; number += 1) {
    if (change && number * step === change.time) schedule = schedule.changed(change.settings, change.time);
    found.push(...schedule.events(number * step, (number + 1) * step));
  }
  return found;
}

/**
 * All of one type.
 *
 * @template {ScheduleEvent["type"]} Type
 * @param {ScheduleEvent[]} found
 * @param {Type} type
 */
export function only(found, type) {
  const isOne = /** @type {(event: ScheduleEvent) => event is Extract<ScheduleEvent, {type: Type}>} */ (
    (event) => event.type === type
  );
  return found.filter(isOne);
}

/**
 * When those of a type are that have these values.
 *
 * @param {ScheduleEvent[]} found
 * @param {ScheduleEvent["type"]} type
 * @param {Record<string, unknown>} wanted
 */
export function times(found, type, wanted = {}) {
  const ofType = found.filter((event) => event.type === type).map((event) => ({ ...event }));
  const isWanted = (/** @type {object} */ event) =>
    Object.entries(wanted).every(([name, value]) => Reflect.get(event, name) === value);
  return ofType.filter(isWanted).map(({ time }) => time);
}

/** @param {ScheduleEvent[]} found */
export const kindsOfBars = (found) => only(found, "bar").map(({ kind }) => kind);
