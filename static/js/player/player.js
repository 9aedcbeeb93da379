// Plays a block of groove and fill: `load` a block, `start`, `pause`, `stop`.
//
// Events, all CustomEvents whose `detail` says more:
//   state {state}                         "stopped", "loading", "playing" or "paused"
//   bar   {kind, number, of, loop, next}  kind "count-in", "groove", "fill"; next also "end"
//   beat  {number, kind} · count {index}  of the meter · of the block's counts
//   note  {note} · groove {note}          the stroke of the fill, of the groove that sounds
//   loop  {loops, tempo}                  a loop is through; loops so far
//   ended {loops}                         all loops are through; its state is "stopped" by then
//   settings {…}                          what is set now, tempo among it
//   loading {done, of}                    sounds that have come so far
//   trouble {error}                       the sounds did not come
import { TypedEvents } from "../site/typed_events.js";
import { Desk } from "./audio.js";
import { askedHere, onAsked } from "./asked_here.js";
import { isSound, keepSound, keptSound, onSound } from "./kept_sound.js";
import { SoundKit, loadKit } from "./sound_kit.js";
import { spareOf, wantedBy } from "./wanted_sounds.js";
import { USUAL_LEVELS } from "./levels.js";
import { LOOKAHEAD, Pump } from "./pump.js";
import { DEFAULTS, FASTEST, SHAPING, SLOWEST, Schedule } from "./schedule.js";
import { openContext, running } from "./sounding.js";

/** @typedef {import("./schedule.js").Block} Block */
/** @typedef {import("./schedule.js").Settings} Settings */
/** @typedef {"stopped" | "loading" | "playing" | "paused"} PlayerState */
/** @typedef {{loops: number, seconds: number, tempo: number | null}} Played `tempo` of the last loop */

/**
 * @typedef {object} PlayerEvents
 * @property {{state: PlayerState}} state
 * @property {import("./schedule.js").BarDetail} bar
 * @property {import("./schedule.js").BeatDetail} beat
 * @property {{index: number}} count
 * @property {{note: number | null}} note
 * @property {{note: number | null}} groove
 * @property {import("./schedule.js").LoopDetail} loop
 * @property {{loops: number}} ended
 * @property {Settings} settings
 * @property {{done: number, of: number}} loading
 * @property {{error: unknown}} trouble
 */

const TICK = 25; // milliseconds
const HIDDEN_LOOKAHEAD = 2.5; // seconds: browsers let a hidden page work once a second
const SOON = 0.03; // seconds: what sounds before cannot be taken back
const LEAD = 0.15; // seconds from the touch to the first count
const RINGS = 8000; // milliseconds until the last cymbal has died away

/** @extends {TypedEvents<PlayerEvents>} */
export class Player extends TypedEvents {
  /** @type {Block | null} */
  #block = null;
  /** @type {Settings} */
  #settings = { ...DEFAULTS };
  /** @type {PlayerState} */
  #state = "stopped";
  /** @type {AudioContext | null} */
  #context = null;
  #kit = new SoundKit();
  /** @type {Pump<Schedule, Desk> | null} */
  #pump = null;
  /** @type {ReturnType<typeof setInterval> | undefined} */
  #timer;
  #frame = 0;
  #started = 0;
  #run = 0;
  #done = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #rest;
  /** @type {Played} */
  #played = { loops: 0, seconds: 0, tempo: null };

  /**
   * `sounds` is the address of the manifest. `alone`: it plays what it is told and nothing else; any
   * other player goes by what was set on the page, and keeps how it sounds on the device.
   *
   * @param {{sounds: string, alone?: boolean}} where
   */
  constructor({ sounds, alone = false }) {
    super();
    this.address = sounds;
    this.alone = alone;
    this.#settings = { ...DEFAULTS, ...keptSound() };
    onSound((changes) => this.#hear(alone ? only(changes, (name) => name in USUAL_LEVELS) : changes));
    if (!alone) onAsked((changes) => this.set(changes));
    document.addEventListener("visibilitychange", () => this.#look());
    addEventListener("pagehide", () => this.stop());
  }

  get state() {
    return this.#state;
  }

  get settings() {
    return { ...this.#settings };
  }

  // The tempo that sounds now: with half and ladder.
  get tempo() {
    if (this.#pump) return this.#pump.schedule.tempoAt(this.#now);
    return this.#settings.tempo * (this.#settings.slow ? 0.5 : 1);
  }

  // The tempo that is set and climbed to, whether half of it sounds or not.
  get base() {
    return this.#pump ? this.#climbed() : this.#settings.tempo;
  }

  /** What was played since the block was loaded or `forget`. @returns {Played} */
  get played() {
    return { ...this.#played, seconds: this.#played.seconds + this.#running() };
  }

  /**
   * @param {Block} block
   * @param {Partial<Settings>} settings
   */
  load(block, settings = {}) {
    this.stop();
    this.#block = block;
    const { tempo = DEFAULTS.tempo, loops = DEFAULTS.loops } = block;
    const here = this.alone ? {} : askedHere();
    const before = { ...this.#settings, ...keptSound() };
    this.#settings = { ...before, groove: null, feel: null, tempo, loops, ...settings, ...here };
    this.forget();
    this.say("settings", this.settings);
  }

  // Begin a new count of loops and seconds.
  forget() {
    this.#played = { loops: 0, seconds: 0, tempo: null };
    this.#started = this.#now;
  }

  /** @param {Partial<Settings>} changes */
  set(changes) {
    const sound = this.alone ? {} : only(changes, isSound);
    if (Object.keys(sound).length) keepSound(sound); // and comes back from there
    const asked = only(changes, (name) => !(name in sound));
    if (!Object.keys(asked).length) return;
    if (asked.tempo !== undefined) asked.tempo = within(Math.round(asked.tempo), SLOWEST, FASTEST);
    const shaped = SHAPING.some((name) => name in asked && asked[name] !== this.#settings[name]);
    if (asked.tempo === undefined && this.#pump) asked.tempo = this.#climbed();
    this.#settings = { ...this.#settings, ...asked };
    if (this.#state === "playing") this.#take(shaped);
    this.say("settings", this.settings);
  }

  /** How it sounds has changed. @param {Partial<Settings>} changes */
  #hear(changes) {
    const names = Object.keys(changes);
    if (!names.length) return;
    const tempo = this.#pump ? this.#climbed() : this.#settings.tempo;
    this.#settings = { ...this.#settings, tempo, ...changes };
    if (this.#pump) {
      this.#pump.desk.balance(this.#settings);
      if (changes.voice || changes.backing) this.#complete();
      if (names.some((name) => !(name in USUAL_LEVELS))) this.#take(false);
    }
    this.say("settings", this.settings);
  }

  // Within a touch or a key, where what is to be played comes later: browsers let it sound then.
  wake() {
    clearTimeout(this.#rest);
    this.#context ??= this.#openContext();
    this.#context.resume().catch(() => {});
  }

  // Only after a touch or a key: browsers keep a page silent before. A paused player goes on
  // with the loop it was in.
  async start() {
    if (this.#state === "playing" || this.#state === "loading") return;
    const before = this.#state;
    const run = (this.#run += 1);
    this.#become("loading");
    try {
      const { block, context } = await this.#ready();
      if (run === this.#run) this.#begin(block, context, before === "paused" ? this.#done : 0);
    } catch (error) {
      if (run !== this.#run) return;
      this.#become(before);
      this.say("trouble", { error });
    }
  }

  pause() {
    if (this.#state === "playing") this.#silence("paused");
  }

  stop() {
    if (this.#state !== "stopped") this.#silence("stopped");
  }

  // --- running -------------------------------------------------------------------------

  // The clock of all that sounds, in seconds.
  get #now() {
    return this.#context?.currentTime ?? 0;
  }

  async #ready() {
    const block = this.#block;
    if (!block) throw new Error("There is nothing to play: load a block first.");
    const context = (this.#context ??= this.#openContext());
    context.resume().catch(() => {}); // in the touch itself; `running` tells what came of it
    clearTimeout(this.#rest);
    await this.#fetch(block, context);
    await running(context);
    return { block, context };
  }

  /**
   * @param {Block} block
   * @param {AudioContext} context
   */
  async #fetch(block, context) {
    const told = (/** @type {number} */ done, /** @type {number} */ of) => this.say("loading", { done, of });
    const more = { known: this.#kit, spare: spareOf(block, this.#settings), told, soon: true };
    this.#kit = await loadKit(context, this.address, wantedBy(block), more);
  }

  // What was wanted in mid-play, as soon as it is there.
  async #complete() {
    const [block, context] = [this.#block, this.#context];
    if (!block || !context) return;
    await this.#fetch(block, context).catch(() => {}); // without it, it goes on as it was
    if (!this.#pump || block !== this.#block) return;
    this.#pump.desk.kit = this.#kit;
    this.#take(false);
  }

  // A voice without words would leave no count at all.
  get #scheduled() {
    return { ...this.#settings, voice: this.#settings.voice && this.#kit.has("say one") };
  }

  #openContext() {
    const context = openContext();
    // A call on the telephone, for instance.
    context.addEventListener("statechange", () => {
      // Safari's own state, which the standard does not know.
      if (/** @type {string} */ (context.state) === "interrupted") this.pause();
    });
    return context;
  }

  /**
   * @param {Block} block
   * @param {AudioContext} context
   * @param {number} loops that were played before
   */
  #begin(block, context, loops) {
    const from = context.currentTime;
    const desk = new Desk(context, this.#kit, this.#settings);
    const done = this.#settings.loops && loops >= this.#settings.loops ? 0 : loops;
    const schedule = new Schedule(block, this.#scheduled, { time: from + LEAD, done });
    this.#pump = new Pump(schedule, desk, { from, lookahead: LOOKAHEAD });
    this.#started = from;
    this.#timer = setInterval(() => this.#tick(), TICK);
    this.#look();
    this.#become("playing");
    this.#show();
  }

  #tick() {
    this.#pump?.tick(this.#now);
    this.#deliver();
  }

  #show() {
    this.#frame = requestAnimationFrame(() => {
      this.#deliver();
      if (this.#pump) this.#show();
    });
  }

  // What is seen waits until it is heard.
  #deliver() {
    const heard = this.#now - (this.#context?.outputLatency ?? 0);
    for (const cue of this.#pump?.due(heard) ?? []) {
      if (cue.type === "loop") this.#count(cue.tempo);
      if (cue.type === "ended") this.#finish();
      const { type, ...detail } = cue;
      this.say(type, /** @type {PlayerEvents[typeof type]} */ (detail));
    }
  }

  /** @param {number} tempo of the loop that is through */
  #count(tempo) {
    this.#played = { ...this.#played, loops: this.#played.loops + 1, tempo };
  }

  #finish() {
    if (this.#state === "playing") this.#silence("stopped", { ringing: true });
  }

  /**
   * @param {PlayerState} state
   * @param {{ringing?: boolean}} [how] whether the last sounds ring on
   */
  #silence(state, { ringing = false } = {}) {
    this.#run += 1;
    if (this.#pump) this.#leave(this.#pump, ringing);
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.#context?.suspend(), RINGS);
    this.#become(state);
  }

  /**
   * @param {Pump<Schedule, Desk>} pump that is running
   * @param {boolean} ringing
   */
  #leave(pump, ringing) {
    this.#played.seconds += this.#running();
    this.#played.tempo ??= this.tempo;
    this.#settings.tempo = this.#climbed();
    this.#done = pump.schedule.loopsAt(this.#now);
    if (!ringing) pump.desk.stop();
    this.#pump = null;
    clearInterval(this.#timer);
    cancelAnimationFrame(this.#frame);
  }

  #running() {
    return this.#pump ? Math.max(0, this.#now - this.#started) : 0;
  }

  // The tempo to which the ladder has climbed.
  #climbed() {
    return within(Math.round(this.tempo / (this.#settings.slow ? 0.5 : 1)), SLOWEST, FASTEST);
  }

  /** @param {boolean} shaped whether the loop begins anew */
  #take(shaped) {
    const [pump, block, context] = [this.#pump, this.#block, this.#context];
    if (!pump || !block || !context) return;
    if (shaped) {
      this.#leave(pump, false);
      this.#begin(block, context, this.#done);
      return;
    }
    const time = this.#now + SOON;
    pump.swap(pump.schedule.changed(this.#scheduled, time), time);
    this.#tick();
  }

  #look() {
    if (!this.#pump) return;
    this.#pump.lookahead = document.hidden ? HIDDEN_LOOKAHEAD : LOOKAHEAD;
    this.#tick();
  }

  /** @param {PlayerState} state */
  #become(state) {
    this.#state = state;
    this.say("state", { state });
  }
}

/**
 * @param {Partial<Settings>} changes
 * @param {(name: string) => boolean} isWanted
 * @returns {Partial<Settings>}
 */
function only(changes, isWanted) {
  return Object.fromEntries(Object.entries(changes).filter(([name]) => isWanted(name)));
}

/**
 * @param {number} value
 * @param {number} least
 * @param {number} most
 */
function within(value, least, most) {
  return Math.min(most, Math.max(least, value));
}
