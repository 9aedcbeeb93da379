// Plays a block of groove and fill: `load` a block, `start`, `pause`, `stop`.
//
// Events, all CustomEvents whose `detail` says more:
//   state {state}                         "stopped", "loading", "playing" or "paused"
//   bar   {kind, number, of, loop, next}  kind "count-in", "groove", "fill"; next also "end"
//   beat  {number, kind} · count {index}  of the meter · of the block's counts
//   note  {note}                          the stroke of the fill that sounds
//   loop  {loops, tempo}                  a loop is through; loops so far
//   ended {loops}                         all loops are through; its state is "stopped" by then
//   settings {…}                          what is set now, tempo among it
//   trouble {error}                       the sounds did not come
import { Desk, loadKit } from "./audio.js";
import { LOOKAHEAD, Pump } from "./pump.js";
import { DEFAULTS, FASTEST, SHAPING, SLOWEST, Schedule } from "./schedule.js";

const TICK = 25; // milliseconds
const HIDDEN_LOOKAHEAD = 2.5; // seconds: browsers let a hidden page work once a second
const SOON = 0.03; // seconds: what sounds before cannot be taken back
const LEAD = 0.15; // seconds from the touch to the first count
const RINGS = 8000; // milliseconds until the last cymbal has died away
const CLICKS = ["count-in", "click", "click one"].map((name) => [name, "normal"]);

export class Player extends EventTarget {
  #block = null;
  #settings = { ...DEFAULTS };
  #state = "stopped";
  #context = null;
  #kit = new Map();
  #pump = null;
  #timer = 0;
  #frame = 0;
  #started = 0;
  #run = 0;
  #done = 0;
  #rest = 0;
  #played = { loops: 0, seconds: 0, tempo: null };

  // `sounds`: the address of the manifest.
  constructor({ sounds }) {
    super();
    this.address = sounds;
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
    if (this.#pump) return this.#pump.schedule.tempoAt(this.#context.currentTime);
    return this.#settings.tempo * (this.#settings.slow ? 0.5 : 1);
  }

  // The tempo that is set and climbed to, whether half of it sounds or not.
  get base() {
    return this.#pump ? this.#climbed() : this.#settings.tempo;
  }

  // Since the block was loaded or `forget`: {loops, seconds, tempo of the last loop}.
  get played() {
    return { ...this.#played, seconds: this.#played.seconds + this.#running() };
  }

  load(block, settings = {}) {
    this.stop();
    this.#block = block;
    const { tempo = DEFAULTS.tempo, loops = DEFAULTS.loops } = block;
    this.#settings = { ...this.#settings, groove: null, tempo, loops, ...settings };
    this.forget();
    this.#say("settings", this.settings);
  }

  // Begin a new count of loops and seconds.
  forget() {
    this.#played = { loops: 0, seconds: 0, tempo: null };
    this.#started = this.#context?.currentTime ?? 0;
  }

  set(changes) {
    const asked = { ...changes };
    if ("tempo" in asked) asked.tempo = within(Math.round(asked.tempo), SLOWEST, FASTEST);
    const shaped = SHAPING.some((name) => name in asked && asked[name] !== this.#settings[name]);
    if (!("tempo" in asked) && this.#pump) asked.tempo = this.#climbed();
    this.#settings = { ...this.#settings, ...asked };
    if (this.#state === "playing") this.#take(shaped);
    this.#say("settings", this.settings);
  }

  // Only after a touch or a key: browsers keep a page silent before. A paused player goes on
  // with the loop it was in.
  async start() {
    if (this.#state === "playing" || this.#state === "loading") return;
    const before = this.#state;
    const run = (this.#run += 1);
    this.#become("loading");
    try {
      await this.#ready();
      if (run === this.#run) this.#begin(before === "paused" ? this.#done : 0);
    } catch (error) {
      if (run !== this.#run) return;
      this.#become(before);
      this.#say("trouble", { error });
    }
  }

  pause() {
    if (this.#state === "playing") this.#silence("paused");
  }

  stop() {
    if (this.#state !== "stopped") this.#silence("stopped");
  }

  // --- running -------------------------------------------------------------------------

  async #ready() {
    if (navigator.audioSession) navigator.audioSession.type = "playback";
    this.#context ??= this.#openContext();
    const resumed = this.#context.resume();
    clearTimeout(this.#rest);
    const wanted = wantedBy(this.#block);
    this.#kit = await loadKit(this.#context, this.address, wanted, this.#kit);
    await resumed;
  }

  #openContext() {
    const context = new AudioContext({ latencyHint: "interactive" });
    // A call on the telephone, for instance.
    context.addEventListener("statechange", () => {
      if (context.state === "interrupted") this.pause();
    });
    return context;
  }

  #begin(loops) {
    const from = this.#context.currentTime;
    const desk = new Desk(this.#context, this.#kit);
    const done = this.#settings.loops && loops >= this.#settings.loops ? 0 : loops;
    const schedule = new Schedule(this.#block, this.#settings, { time: from + LEAD, done });
    this.#pump = new Pump(schedule, desk, { from, lookahead: LOOKAHEAD });
    this.#started = from;
    this.#timer = setInterval(() => this.#tick(), TICK);
    this.#look();
    this.#become("playing");
    this.#show();
  }

  #tick() {
    this.#pump?.tick(this.#context.currentTime);
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
    const { currentTime, outputLatency = 0 } = this.#context;
    for (const { type, ...detail } of this.#pump?.due(currentTime - outputLatency) ?? []) {
      if (type === "loop") this.#count(detail);
      if (type === "ended") this.#finish();
      this.#say(type, detail);
    }
  }

  #count({ tempo }) {
    this.#played = { ...this.#played, loops: this.#played.loops + 1, tempo };
  }

  #finish() {
    if (this.#state === "playing") this.#silence("stopped", { ringing: true });
  }

  #silence(state, { ringing = false } = {}) {
    this.#run += 1;
    if (this.#pump) this.#leave(ringing);
    clearTimeout(this.#rest);
    this.#rest = setTimeout(() => this.#context?.suspend(), RINGS);
    this.#become(state);
  }

  #leave(ringing) {
    this.#played.seconds += this.#running();
    this.#played.tempo ??= this.tempo;
    this.#settings.tempo = this.#climbed();
    this.#done = this.#pump.schedule.loopsAt(this.#context.currentTime);
    if (!ringing) this.#pump.desk.stop();
    this.#pump = null;
    clearInterval(this.#timer);
    cancelAnimationFrame(this.#frame);
  }

  #running() {
    return this.#pump ? Math.max(0, this.#context.currentTime - this.#started) : 0;
  }

  // The tempo to which the ladder has climbed.
  #climbed() {
    return within(Math.round(this.tempo / (this.#settings.slow ? 0.5 : 1)), SLOWEST, FASTEST);
  }

  #take(shaped) {
    if (shaped) {
      this.#leave(false);
      this.#begin(this.#done);
      return;
    }
    const time = this.#context.currentTime + SOON;
    this.#pump.swap(this.#pump.schedule.changed(this.#settings, time), time);
    this.#tick();
  }

  #look() {
    if (!this.#pump) return;
    this.#pump.lookahead = document.hidden ? HIDDEN_LOOKAHEAD : LOOKAHEAD;
    this.#tick();
  }

  #become(state) {
    this.#state = state;
    this.#say("state", { state });
  }

  #say(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}

// [surface, dynamic] of every sound that the block can ask for, and the clicks.
function wantedBy(block) {
  const lists = [block.fill, block.landing, ...Object.values(block.grooves)];
  const sounds = lists.flat().map(({ surface, dynamic }) => [surface, dynamic]);
  return [...new Map([...sounds, ...CLICKS].map((one) => [one.join(), one])).values()];
}

function within(value, least, most) {
  return Math.min(most, Math.max(least, value));
}
