// Practice that saves itself: what the player counted of one fill is kept by this device, once,
// and sent; with a network or without, also where the page is closed in mid-play.
//
//   const kept = new KeptPractice({ variation: 7, name: "2, Hi-hat to floor tom" });
//   kept.on("line", ({ text, undo }) => …);              // "Saved: 2 min at 88, 3 times through."
//   kept.played({ loops: 3, seconds: 120, tempo: 88 });  // at each stop; counts since the first start
//   kept.played({ …, playing: true });                   // at each time through: kept, sent later
//   kept.answer({ clean_loops: 3 });                     // of the same entry; also `felt`, `note`
//   await kept.undo();
//
// Play, pause, play on is one entry that grows. Another one begins after half an hour without a
// sound, after Undo, and where play goes on once it was said how it came out; `begin` begins the
// counts anew, for a player that has forgotten its own.
import { forget, isUsable, keepGrowing, problemsOf, queue } from "../offline/queue.js";
import * as store from "../offline/store.js";
import { newId } from "../offline/sync.js";
import { TypedEvents } from "../site/typed_events.js";
import { isPractice, lineOf, minutesOf } from "./kept_words.js";
import { sendPlainly } from "./plain_sending.js";

/** @typedef {{loops: number, seconds: number, tempo: number | null, playing?: boolean}} PlayedSoFar */
/** @typedef {{clean_loops: number | null, felt: "" | "easy" | "good" | "hard" | "sore", note: string}} PlayedHow `note`: to the teacher */
/** @typedef {import("./kept_words.js").KeptState} KeptState */
/** @typedef {{text: string, state: KeptState, undo: boolean}} KeptLine */
/** @typedef {import("./kept_words.js").Count} Count */
/** @typedef {import("../offline/store.js").Fields} Fields */

const PAUSE = 30 * 60_000; // milliseconds without a sound until another entry begins
const LONGEST = 175 * 60; // seconds; the log takes no more than three hours in one entry
const SLOWEST = 30; // the log knows no slower tempo
const MOST_LOOPS = 999;
/** @type {Count} */
const NOTHING = { loops: 0, seconds: 0, tempo: null };
/** @type {PlayedHow} */
const UNSAID = { clean_loops: null, felt: "", note: "" };

/** @extends {TypedEvents<{line: KeptLine}>} */
export class KeptPractice extends TypedEvents {
  /** The id of the entry that grows; null before there is one. @type {string | null} */
  #id = null;
  #made = 0;
  /** @type {number | null} */
  #seen = null;
  #tried = false;
  /** What the player had counted when this entry began, and what it has now. @type {Count} */
  #base = NOTHING;
  /** @type {Count} */
  #last = NOTHING;
  #heard = 0; // when it was last told of something played
  #answered = 0;
  #how = UNSAID;

  /** @param {{variation: number | null, name: string, recheck?: boolean, easier?: boolean}} fill and whether it is played cold, or in a simpler form */
  constructor({ variation, name, recheck = false, easier = false }) {
    super();
    this.variation = variation;
    this.name = name;
    this.recheck = recheck;
    this.easier = easier;
    if (!isUsable) return;
    store.fact("seen").then((seen) => (this.#seen = seen ?? null), () => {});
    queue.addEventListener("logged", () => this.#look());
  }

  /** The id of the entry, once there is one; for what else is said of it. */
  get id() {
    return this.#id;
  }

  /** How it came out, as far as that was said. */
  get how() {
    return this.#how;
  }

  /** What this entry holds. @returns {Count} */
  get counted() {
    const { loops, seconds, tempo } = this.#last;
    return { loops: loops - this.#base.loops, seconds: seconds - this.#base.seconds, tempo };
  }

  /** The player has forgotten what it counted: so does this. */
  begin() {
    this.#base = this.#last = NOTHING;
    this.#leave();
  }

  /** @param {PlayedSoFar} count of all since the first start, or since `begin` */
  played({ loops, seconds, tempo, playing = false }) {
    const more = seconds - this.#last.seconds;
    if (more > 0 || loops > this.#last.loops) {
      if (this.#id && this.#isOver(Math.max(0, more))) this.#leave();
      this.#heard = Date.now();
      this.#last = { loops: Math.max(loops, this.#last.loops), seconds: Math.max(seconds, this.#last.seconds), tempo };
    }
    const { counted } = this;
    if (!this.#id && !isPractice(counted)) {
      if (!playing && counted.seconds >= 1) this.#say("none");
      return;
    }
    if (!this.#id) this.#open(counted);
    this.#keep({ isPlaying: playing });
  }

  /** How it came out; said again, it takes the place of the word before. @param {Partial<PlayedHow>} how */
  answer(how) {
    if (!this.#id) return false;
    const { loops } = this.counted;
    const said = { ...this.#how, ...how };
    const clean = said.clean_loops;
    this.#answered += 1;
    this.#how = {
      ...said,
      clean_loops: clean === null || !loops ? null : Math.min(Math.max(0, clean), loops, MOST_LOOPS),
    };
    this.#keep({ isPlaying: false });
    return true;
  }

  /** Take the entry out of the log, or off this device where it is not sent; once. */
  async undo() {
    const id = this.#id;
    if (!id) return;
    const entry = this.#entry(id, { undone: true });
    this.#say("undone");
    this.#leave();
    if (!isUsable) sendPlainly(entry);
    else if (!(await forget(id).catch(() => false))) await keepGrowing(entry);
  }

  // The time of an entry is over: what comes is another one.
  #leave() {
    this.#base = this.#last;
    this.#id = null;
    this.#answered = 0;
    this.#how = UNSAID;
  }

  /** @param {number} more seconds that sounded since */
  #isOver(more) {
    const isLate = Date.now() - this.#heard - more * 1000 > PAUSE;
    return isLate || this.#how.clean_loops !== null || this.counted.seconds + more > LONGEST;
  }

  /** @param {Count} counted */
  #open({ seconds }) {
    this.#id = newId();
    this.#made = Date.now() - Math.round(seconds * 1000);
    this.#tried = false;
  }

  /** @param {{isPlaying: boolean}} how */
  #keep({ isPlaying }) {
    const id = /** @type {string} */ (this.#id);
    const entry = this.#entry(id);
    if (!isPlaying) this.#say(navigator.onLine ? "saved" : "waiting");
    if (!isUsable) {
      if (!isPlaying) sendPlainly(entry);
      return;
    }
    this.#hand(entry, isPlaying).catch(() => sendPlainly(entry)); // nothing can be kept here
  }

  /**
   * @param {import("../offline/queue.js").Growing} entry
   * @param {boolean} isPlaying
   */
  async #hand(entry, isPlaying) {
    const { outcome } = await keepGrowing(entry, { sends: !isPlaying });
    if (this.#id === entry.id) this.#tried = true;
    const came = await outcome;
    if (came && this.#id === entry.id) await this.#tell(entry.id, came);
  }

  /**
   * @param {string} id
   * @param {{undone?: boolean}} how
   */
  #entry(id, { undone = false } = {}) {
    const { loops, seconds, tempo } = this.counted;
    /** @type {Fields} */
    const fields = {
      variation: this.variation,
      minutes: minutesOf(seconds),
      tempo: tempo === null || tempo < SLOWEST ? null : Math.round(tempo),
      loops: Math.min(loops, MOST_LOOPS) || null,
      recheck: this.recheck,
      ...(this.easier ? { easier: true } : {}),
      seconds: Math.max(1, Math.round(seconds)),
      answered: this.#answered,
      ...this.#how,
      undone,
    };
    return { id, made: this.#made, seen: this.#seen, fields, said: this.name, tried: this.#tried };
  }

  // Another page, or a later try, has sent what waited.
  async #look() {
    const id = this.#id;
    if (id && this.#shown === "waiting" && !(await store.find(id)) && this.#id === id) this.#say("saved");
  }

  /**
   * @param {string} id
   * @param {"logged" | "refused" | "waiting"} came
   */
  async #tell(id, came) {
    if (came === "refused") this.#say("refused", Object.values(await problemsOf(id)).flat()[0]?.message);
    else this.#say(came === "logged" ? "saved" : "waiting");
  }

  /** @type {KeptState} */
  #shown = "none";

  /**
   * @param {KeptState} state
   * @param {string} [why] it was refused
   */
  #say(state, why = "") {
    this.#shown = state;
    const undo = state === "saved" || state === "waiting";
    this.say("line", { text: lineOf(state, this.counted, why), state, undo });
  }
}
