// A click to play to: a bar counted in, then beats until it is stopped.
import { Desk } from "../player/audio.js";
import { keptSound } from "../player/kept_sound.js";
import { loadKit } from "../player/sound_kit.js";
import { openContext, running } from "../player/sounding.js";

/** @typedef {{beats: number[], bar: number}} BarShape onsets of the beats, and the length, in quarters */
/** @typedef {BarShape & {first: number, quarter: number, index: number}} Going when it began; seconds a quarter; beats so far */

/** @type {import("../player/sound_kit.js").Wanted[]} */
const WANTED = [["count-in", "normal"], ["click", "normal"], ["click one", "normal"]];
const LEAD = 0.25; // seconds from the touch to the first count
const AHEAD = 0.4; // seconds that are always in the queue
const TICK = 50; // milliseconds
const OLDEST = 2_000; // milliseconds since a browser looked at both of its clocks
const MOST_AHEAD = 20; // the same for a look that was not yet

export class Click {
  /** @type {AudioContext | null} */
  #context = null;
  /** @type {Desk | null} */
  #desk = null;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #timer;

  /**
   * @param {string} sounds the address of the manifest
   * @param {(number: number, isCountIn: boolean) => void} onBeat called as it sounds
   */
  constructor(sounds, onBeat = () => {}) {
    this.sounds = sounds;
    this.onBeat = onBeat;
  }

  /**
   * Resolves to the time of the first bar after the count-in on the page's clock, as events have it.
   *
   * @param {BarShape & {tempo: number}} shape
   * @returns {Promise<import("./recorder.js").HeardClick>}
   */
  async start({ tempo, beats, bar }) {
    const context = (this.#context ??= openContext());
    context.resume().catch(() => {}); // in the touch itself; `running` tells what came of it
    const desk = new Desk(context, await loadKit(context, this.sounds, WANTED), keptSound());
    await running(context);
    this.#desk = desk;
    const first = context.currentTime + LEAD;
    const quarter = 60 / tempo;
    /** @type {Going} */
    const going = { first, quarter, beats, bar, index: 0 };
    this.#pump(context, desk, going);
    this.#timer = setInterval(() => this.#pump(context, desk, going), TICK);
    return { tempo, start: pageTime(context, first + bar * quarter) };
  }

  stop() {
    clearInterval(this.#timer);
    this.#timer = undefined;
    this.#desk?.stop();
    this.#desk = null;
  }

  get isRunning() {
    return this.#timer !== undefined;
  }

  /**
   * @param {AudioContext} context
   * @param {Desk} desk
   * @param {Going} going
   */
  #pump(context, desk, going) {
    const until = context.currentTime + AHEAD;
    for (;;) {
      const { first, quarter, beats, bar, index } = going;
      const number = index % beats.length;
      const round = Math.floor(index / beats.length);
      const time = first + (round * bar + beats[number]) * quarter;
      if (time >= until) return;
      const name = round === 0 ? "count-in" : number === 0 ? "click one" : "click";
      desk.strike(name, "normal", time, { part: "click" });
      const wait = pageTime(context, time) - performance.now();
      setTimeout(() => this.isRunning && this.onBeat(number + 1, round === 0), wait);
      going.index += 1;
    }
  }
}

/**
 * When a time of the audio clock is heard, by the clock that events carry.
 *
 * A browser's own word for it is taken where it can be true: what sounds now was due a moment ago.
 * WebKitGTK adds the time that the context has run, which is off by a second more each second.
 *
 * @param {Pick<AudioContext, "currentTime" | "getOutputTimestamp">} context
 * @param {number} time in seconds
 */
export function pageTime(context, time) {
  const now = performance.now();
  const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp?.() ?? {};
  const ahead = performanceTime - now;
  if (performanceTime && ahead > -OLDEST && ahead < MOST_AHEAD) return performanceTime + (time - contextTime) * 1000;
  return now + (time - context.currentTime) * 1000;
}
