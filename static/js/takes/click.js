// A click to play to: a bar counted in, then beats until it is stopped.
import { Desk, loadKit } from "../player/audio.js";

const WANTED = ["count-in", "click", "click one"].map((name) => [name, "normal"]);
const LEAD = 0.25; // seconds from the touch to the first count
const AHEAD = 0.4; // seconds that are always in the queue
const TICK = 50; // milliseconds

export class Click {
  #context = null;
  #desk = null;
  #timer = 0;
  #next = null;

  // `sounds`: the address of the manifest. `onBeat(number, isCountIn)` is called as it sounds.
  constructor(sounds, onBeat = () => {}) {
    this.sounds = sounds;
    this.onBeat = onBeat;
  }

  // `beats`: onsets in quarters of a bar that is `bar` quarters long. Resolves to {tempo, start}:
  // the time of the first bar after the count-in on the page's clock, as events have it.
  async start({ tempo, beats, bar }) {
    this.#context ??= new AudioContext({ latencyHint: "interactive" });
    await this.#context.resume();
    const kit = await loadKit(this.#context, this.sounds, WANTED);
    this.#desk = new Desk(this.#context, kit);
    const first = this.#context.currentTime + LEAD;
    const quarter = 60 / tempo;
    this.#next = { first, quarter, beats, bar, index: 0 };
    this.#pump();
    this.#timer = setInterval(() => this.#pump(), TICK);
    return { tempo, start: this.#pageTime(first + bar * quarter) };
  }

  stop() {
    clearInterval(this.#timer);
    this.#timer = 0;
    this.#desk?.stop();
    this.#desk = null;
  }

  get isRunning() {
    return this.#timer !== 0;
  }

  #pump() {
    const until = this.#context.currentTime + AHEAD;
    for (;;) {
      const { first, quarter, beats, bar, index } = this.#next;
      const number = index % beats.length;
      const round = Math.floor(index / beats.length);
      const time = first + (round * bar + beats[number]) * quarter;
      if (time >= until) return;
      const name = round === 0 ? "count-in" : number === 0 ? "click one" : "click";
      this.#desk.strike(name, "normal", time);
      setTimeout(() => this.isRunning && this.onBeat(number + 1, round === 0), this.#pageTime(time) - performance.now());
      this.#next.index += 1;
    }
  }

  // When a time of the audio clock is heard, by the clock that events carry.
  #pageTime(time) {
    const { contextTime, performanceTime } = this.#context.getOutputTimestamp?.() ?? {};
    if (performanceTime) return performanceTime + (time - contextTime) * 1000;
    return performance.now() + (time - this.#context.currentTime) * 1000;
  }
}
