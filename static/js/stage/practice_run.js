// Goes through what there is to play by itself: plays an item, says what comes, plays the next.
//
//   const run = new Run(player, {items, blocks});
//   run.toggle(); run.skip(); run.back(); run.finish(); run.again();
//
// Events, all CustomEvents:
//   state {state, index, wait}  "ready", "playing", "paused", "between" (`wait` seconds left), "over"
//   loaded {item}               another item is there to be played, or the same once more
//   played {item, loops, seconds, tempo, playing}  what sounded of it since, after each time through
//                               and each stop
import { isPractice } from "../practice/kept_words.js";
import { TypedEvents } from "../site/typed_events.js";

/**
 * Something to play, as `StageItem.to_json` writes it for the page.
 *
 * @typedef {object} Item
 * @property {string} title why it is played
 * @property {string} name of the fill
 * @property {number | string} block the key of its block
 * @property {number | null} variation what is logged of it; null where the groove is played alone
 * @property {number} tempo
 * @property {string} [unit] what the tempo counts, in words
 * @property {string} [feel] in words; "" where it is straight
 * @property {number} goal the tempo that was asked for
 * @property {number} loops
 * @property {boolean} grooveAlone
 * @property {boolean} recheck
 * @property {boolean} loosening
 * @property {boolean} mastered
 * @property {boolean} done
 * @property {boolean} [easier] a simpler form of what is logged
 */
/** @typedef {{items: Item[], blocks: Record<string, import("../player/schedule.js").Block>}} Plan */
/** @typedef {"ready" | "playing" | "paused" | "between" | "over"} RunState */
/** @typedef {import("../player/player.js").Played & {item: Item, playing: boolean}} PlayedItem */
/** @typedef {{state: RunState, index: number, wait: number}} Shown */

const PAUSE = 4; // seconds to read what comes next

/** @extends {TypedEvents<{state: Shown, loaded: {item: Item}, played: PlayedItem}>} */
export class Run extends TypedEvents {
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #timer;
  #wait = 0;
  #tried = 0;

  /**
   * @param {import("../player/player.js").Player} player
   * @param {Plan} plan
   */
  constructor(player, { items, blocks }) {
    super();
    this.player = player;
    this.items = items;
    this.blocks = blocks;
    /** @type {RunState} */
    this.state = "ready";
    const open = items.findIndex((item) => !item.done);
    this.index = open < 0 ? 0 : open;
    player.on("ended", () => this.#through());
    player.on("trouble", () => this.#halt());
    player.on("state", ({ state }) => {
      if (state === "paused") this.#halt(); // by a touch, or by a call on the telephone
    });
    addEventListener("pagehide", () => {
      this.#tell();
      this.#halt();
    });
    player.on("loop", () => this.#tell({ playing: true }));
    this.#load();
  }

  get item() {
    return this.items[this.index];
  }

  get next() {
    return this.items[this.index + 1] ?? null;
  }

  /** Play at this tempo, from now on. @param {number} tempo */
  at(tempo) {
    for (const item of this.items) item.tempo = tempo;
    this.player.set({ tempo });
  }

  // Play, pause, and go on.
  toggle() {
    if (this.state === "playing") {
      this.pause();
    } else if (this.state === "between") {
      clearInterval(this.#timer);
      this.#become("paused");
    } else if (this.state === "ready" || this.state === "paused") {
      this.#play();
    }
  }

  pause() {
    if (this.player.state === "playing") this.player.pause();
    else this.player.stop();
    this.#halt();
  }

  /**
   * What was set on the page since, before it begins.
   *
   * @param {number} tempo of the item that is there now; 0: as planned
   */
  prepare(tempo) {
    if (tempo) this.item.tempo = tempo;
    if (this.state === "ready") this.#load();
  }

  skip() {
    if (this.state !== "over") this.#turnTo(1);
  }

  back() {
    if (this.state !== "over" && this.index > 0) this.#turnTo(-1);
  }

  finish() {
    if (this.state === "over") return;
    clearInterval(this.#timer);
    this.#leave();
    this.#become("over");
  }

  // From the first item that was not played, or from the beginning.
  again() {
    if (this.state !== "over") return;
    const open = this.items.findIndex((item) => !item.done);
    this.index = Math.max(0, open);
    this.#tried = 0;
    this.#load();
    this.#play();
  }

  /** Seconds that were played and are too little to be kept. */
  get tried() {
    return this.#tried;
  }

  /** @param {1 | -1} by */
  #turnTo(by) {
    const wasPlaying = this.state === "playing" || this.state === "between";
    this.#leave();
    this.#goOn(wasPlaying, by);
  }

  #load() {
    const { block, tempo, loops, grooveAlone } = this.item;
    this.player.load(this.blocks[block], { tempo, loops, muteFill: grooveAlone, ladderBy: 0, slow: false });
    this.say("loaded", { item: this.item });
  }

  #halt() {
    if (this.state !== "playing") return;
    this.#tell();
    this.#become("paused");
  }

  #play() {
    clearInterval(this.#timer);
    this.#become("playing");
    this.player.start();
  }

  #through() {
    if (this.state !== "playing") return;
    this.#leave();
    this.#goOn(true);
  }

  #tell({ playing = false } = {}) {
    if (this.state === "over") return;
    const { played } = this.player;
    if (isPractice(played)) this.item.done = true;
    if (played.seconds > 0) this.say("played", { item: this.item, ...played, playing });
  }

  // Another item comes, or none: what was less than practice of this one stays a try.
  #leave() {
    this.#tell();
    if (!isPractice(this.player.played)) this.#tried += this.player.played.seconds;
    this.player.stop();
  }

  /**
   * @param {boolean} byItself whether the next item plays without a touch
   * @param {1 | -1} by
   */
  #goOn(byItself, by = 1) {
    clearInterval(this.#timer);
    if (by > 0 && !this.next) {
      this.#become("over");
      return;
    }
    this.index += by;
    this.#load();
    if (!byItself) {
      this.#become("ready");
      return;
    }
    this.#wait = PAUSE;
    this.#become("between");
    this.#timer = setInterval(() => this.#countDown(), 1000);
  }

  #countDown() {
    this.#wait -= 1;
    if (this.#wait > 0) this.#become("between");
    else this.#play();
  }

  /** @param {RunState} state */
  #become(state) {
    this.state = state;
    this.say("state", { state, index: this.index, wait: this.#wait });
  }
}
