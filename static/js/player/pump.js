// Between the schedule and the desk: hands over what comes soon, a little at a time.

/** @typedef {import("./schedule.js").ScheduleEvent} ScheduleEvent */
/** @typedef {Exclude<ScheduleEvent, {type: "sound" | "click" | "tone"}>} Cue what the page shows */
/** @typedef {import("./levels.js").Part} Part */
/** @typedef {Pick<import("./schedule.js").Schedule, "events">} Events whatever gives what happens when */

/**
 * Strikes at a time, and takes back what is queued from a time on.
 *
 * @typedef {object} Striker
 * @property {(name: string, dynamic: string, time: number, how: {part: Part, level?: number}) => void} strike
 * @property {(name: string, pitch: number, time: number, seconds: number) => void} tone
 * @property {(time: number) => void} cancel
 */

export const LOOKAHEAD = 0.25; // seconds; stalls of the page shorter than this are not heard
const TOO_LATE = 0.01; // seconds: rather no stroke than one that is heard late

/** @template {Events} Source @template {Striker} Desk */
export class Pump {
  /**
   * @param {Source} schedule
   * @param {Desk} desk
   * @param {{from?: number, lookahead?: number}} [options] in seconds of the context
   */
  constructor(schedule, desk, { from = 0, lookahead = LOOKAHEAD } = {}) {
    this.schedule = schedule;
    this.desk = desk;
    this.upTo = from;
    this.lookahead = lookahead;
    /** @type {Cue[]} */
    this.cues = []; // in order of time
    this.left = 0; // strokes left out, because the page was busy for too long
  }

  /** Hand over everything up to the lookahead from `now`, in seconds of the context. @param {number} now */
  tick(now) {
    const until = now + this.lookahead;
    if (until <= this.upTo) return;
    for (const event of this.schedule.events(this.upTo, until)) this.#take(event, now);
    this.upTo = until;
  }

  /** The cues whose time has come by `now`; each is given once. @param {number} now */
  due(now) {
    const later = this.cues.findIndex((cue) => cue.time > now);
    return this.cues.splice(0, later < 0 ? this.cues.length : later);
  }

  /**
   * Go on with another schedule from `time`; what is queued for later is taken back.
   *
   * @param {Source} schedule
   * @param {number} time
   */
  swap(schedule, time) {
    this.schedule = schedule;
    this.desk.cancel(time);
    this.cues = this.cues.filter((cue) => cue.time < time);
    this.upTo = time;
  }

  /**
   * @param {ScheduleEvent} event
   * @param {number} now
   */
  #take(event, now) {
    if (event.type !== "sound" && event.type !== "click" && event.type !== "tone") {
      this.cues.push(event);
    } else if (event.time < now - TOO_LATE) {
      this.left += 1;
    } else if (event.type === "tone") {
      this.desk.tone(event.name, event.pitch, event.time, event.seconds ?? 0);
    } else if (event.type === "click") {
      this.desk.strike(event.name, "normal", event.time, { part: event.part, level: event.level });
    } else {
      this.desk.strike(event.surface, event.dynamic, event.time, { part: event.part });
    }
  }
}
