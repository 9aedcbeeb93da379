// From a block and settings to what happens when. Pure: no page, no sound, no clock.
//
// The block is the JSON of `rhythms.notation.block_json`; positions in quarters. Times are
// seconds on the clock of whoever asks. The same window always gives the same events, so
// windows that touch give everything exactly once.
import { tonesIn } from "./backing.js";
import { clicksIn, isGap, wordsIn } from "./click_pattern.js";
import { heard } from "./feel.js";
import { DEFAULTS, FASTEST } from "./settings.js";
import { soundsOf, strokesOf } from "./struck.js";
import { TempoMap } from "./tempo_map.js";

export { DEFAULTS, FASTEST, SHAPING, SLOWEST } from "./settings.js";

/** @typedef {import("./tempo_map.js").Ladder} Ladder */
/** @typedef {import("./block.js").Block} Block */
/** @typedef {import("./block.js").Sound} Sound */
/** @typedef {import("./block.js").Count} Count */

/** @typedef {import("./settings.js").Settings} Settings */

/** @typedef {"count-in" | "groove" | "fill"} BarKind */
/** @typedef {import("./levels.js").Part} Part */
/** @typedef {import("./struck.js").SoundEvent} SoundEvent */
/** @typedef {{type: "click", name: string, part: Part, level: number}} ClickEvent */
/** @typedef {{type: "tone", name: string, pitch: number, quarters: number}} ToneEvent lasting so many quarters */
/** @typedef {{kind: BarKind, number: number, of: number, loop: number, next: BarKind | "end"}} BarDetail */
/** @typedef {{number: number, kind: BarKind}} BeatDetail */
/** @typedef {{loops: number, tempo: number}} LoopDetail */

/**
 * What can happen: a sound, or a cue that a page shows.
 *
 * @typedef {SoundEvent
 *   | ClickEvent
 *   | ToneEvent
 *   | {type: "bar"} & BarDetail
 *   | {type: "beat"} & BeatDetail
 *   | {type: "note", note: number | null}
 *   | {type: "groove", note: number | null}
 *   | {type: "count", index: number}
 *   | {type: "loop"} & LoopDetail
 *   | {type: "ended", loops: number}} Happening
 */
/** @typedef {Happening & {onset: number}} Placeable a happening in its bar, in quarters */
/** @typedef {Happening & {quarter: number, time: number, seconds?: number}} ScheduleEvent `seconds` that a tone lasts */
/** @typedef {{quarter: number, time: number}} Origin a position and its time */

export class Schedule {
  /**
   * Starts at `time` with the count-in; `done` loops were played before. `at` goes on from there
   * instead. A ladder climbs from the loop it is in.
   *
   * @param {Block} block
   * @param {Partial<Settings>} settings
   * @param {{time?: number, done?: number, at?: Origin | null}} [start]
   */
  constructor(block, settings, { time = 0, done = 0, at = null } = {}) {
    this.block = block;
    /** @type {Settings} */
    this.settings = { ...DEFAULTS, ...settings };
    this.done = done;
    this.fillBars = block.fillBars ?? 1; // a page kept on the device may be older
    this.bars = this.settings.fillAlone ? this.fillBars : block.bars;
    this.heard = heard(block, this.settings);
    this.origin = at ?? { quarter: 0, time };
    this.map = this.#tempoMap();
  }

  /**
   * The same music from `time` on with other settings.
   *
   * @param {Partial<Settings>} settings
   * @param {number} time
   * @returns {Schedule}
   */
  changed(settings, time) {
    if (this.#loopAt(this.map.quarterAt(time)) >= this.#toPlay) return this;
    const at = { quarter: this.map.quarterAt(time), time };
    return new Schedule(this.block, { ...this.settings, ...settings }, { done: this.done, at });
  }

  /**
   * Everything from `from` up to, but not at, `to`, in order of time.
   *
   * @param {number} from seconds
   * @param {number} to
   */
  events(from, to) {
    /** @type {ScheduleEvent[]} */
    const found = [];
    const last = Math.floor(this.map.quarterAt(to) / this.block.bar) + 1;
    for (let bar = Math.max(0, this.#barAt(from)); bar <= last; bar += 1) {
      for (const event of this.#bar(bar)) {
        const time = this.map.timeAt(event.quarter);
        if (from <= time && time < to) found.push({ ...event, time, ...this.#lasting(event, time) });
      }
    }
    return found.sort((one, other) => one.time - other.time);
  }

  /**
   * @param {Happening & {quarter: number}} event
   * @param {number} time
   */
  #lasting(event, time) {
    return event.type === "tone" ? { seconds: this.map.timeAt(event.quarter + event.quarters) - time } : {};
  }

  /** How many loops were played through by `time`. @param {number} time */
  loopsAt(time) {
    return this.done + Math.min(this.#loopAt(this.map.quarterAt(time)), this.#toPlay);
  }

  /** @param {number} time */
  tempoAt(time) {
    return this.map.tempoAt(this.map.quarterAt(time));
  }

  get #countIn() {
    return this.settings.countIn * this.block.bar;
  }

  get #loop() {
    return this.bars * this.block.bar;
  }

  get #toPlay() {
    const { loops } = this.settings;
    return loops ? Math.max(loops - this.done, this.#loopAt(this.origin.quarter) + 1) : Infinity;
  }

  /** Loops played through at a position, since the start. @param {number} quarter */
  #loopAt(quarter) {
    return Math.floor(Math.max(0, quarter - this.#countIn) / this.#loop);
  }

  /** @param {number} time */
  #barAt(time) {
    return Math.floor(this.map.quarterAt(time) / this.block.bar);
  }

  #tempoMap() {
    const { tempo, slow, ladderBy, ladderEvery } = this.settings;
    const { quarter, time } = this.origin;
    const part = slow ? 0.5 : 1;
    const length = ladderEvery * this.#loop;
    const from = this.#countIn + this.#loopAt(quarter) * this.#loop + length;
    /** @type {Ladder | null} */
    const ladder = ladderBy ? { from, length, by: ladderBy * part, top: FASTEST * part } : null;
    return new TempoMap(quarter, time, tempo * part, ladder);
  }

  // --- one bar -------------------------------------------------------------------------

  /**
   * @param {number} number of the bar, the count-in's first one being 0
   * @returns {(Happening & {quarter: number})[]}
   */
  #bar(number) {
    const since = number - this.settings.countIn;
    const loop = Math.floor(since / this.bars);
    if (since < 0) return this.#counted(number);
    if (loop < this.#toPlay) return this.#played(number, loop, since % this.bars);
    return loop === this.#toPlay && since % this.bars === 0 ? this.#ended(number, loop) : [];
  }

  /** @param {number} number */
  #counted(number) {
    const left = this.settings.countIn - number;
    const next = left > 1 ? "count-in" : this.#kind(0);
    const of = this.settings.countIn;
    return this.#placed(number, [
      { type: "bar", onset: 0, loop: this.done, kind: "count-in", number: number + 1, of, next },
      ...this.#beats("count-in"),
      ...this.#counts(number),
    ]);
  }

  /**
   * @param {number} number
   * @param {number} loop since the start
   * @param {number} index of the bar in its loop
   */
  #played(number, loop, index) {
    const kind = this.#kind(index);
    const again = index === 0 && loop > 0;
    /** @type {BarDetail} */
    const bar = {
      kind,
      number: index + 1,
      of: this.bars,
      loop: this.done + loop,
      next: this.#isLast(loop, index) ? "end" : this.#kind((index + 1) % this.bars),
    };
    return this.#placed(number, [
      ...(again ? [this.#looped(number, loop)] : []),
      { type: "bar", onset: 0, ...bar },
      ...this.#beats(kind),
      ...this.#clicks(number),
      ...(kind === "fill" ? this.#fill(index, again) : soundsOf(this.#time(index, again), "groove")),
      ...this.#grooveStrokes(index),
      ...this.#tones(index),
    ]);
  }

  /**
   * @param {number} number
   * @param {number} loop
   */
  #ended(number, loop) {
    const beat = this.block.beats[1]?.onset ?? this.block.bar;
    return this.#placed(number, [
      this.#looped(number, loop),
      ...soundsOf(this.block.landing, "groove"),
      ...this.#tones(this.bars),
      { type: "ended", onset: beat, loops: this.done + loop },
    ]);
  }

  /**
   * @param {number} loop
   * @param {number} index
   */
  #isLast(loop, index) {
    return loop + 1 === this.#toPlay && index + 1 === this.bars;
  }

  /**
   * @param {number} index
   * @returns {"fill" | "groove"}
   */
  #kind(index) {
    return index >= this.bars - this.fillBars ? "fill" : "groove";
  }

  /**
   * @param {number} number
   * @param {number} loop
   * @returns {Placeable}
   */
  #looped(number, loop) {
    const tempo = this.map.tempoAt((number - this.bars) * this.block.bar);
    return { type: "loop", onset: 0, loops: this.done + loop, tempo };
  }

  /**
   * @param {BarKind} kind
   * @returns {Placeable[]}
   */
  #beats(kind) {
    return this.block.beats.map(({ onset, number }) => ({ type: "beat", onset, number, kind }));
  }

  /**
   * Sticks, or a voice, in a bar that counts in.
   *
   * @param {number} number of the bar
   * @returns {Placeable[]}
   */
  #counts(number) {
    if (!this.settings.voice) {
      const name = "count-in";
      return this.block.beats.map(({ onset }) => ({ type: "click", onset, name, part: "click", level: 1 }));
    }
    const words = wordsIn(this.block, this.map.tempoAt(number * this.block.bar));
    return words.map((word) => ({ type: "click", part: "voice", ...word }));
  }

  /**
   * @param {number} number of the bar, the count-in's first one being 0
   * @returns {Placeable[]}
   */
  #clicks(number) {
    if (isGap(this.settings.gaps, number - this.settings.countIn)) return [];
    const clicks = clicksIn(this.block, this.settings, this.heard.feel);
    return clicks.map((click) => ({ type: "click", part: "click", ...click }));
  }

  /**
   * Bass and chords of a bar of the loop, or of the *one* after the last.
   *
   * @param {number} index
   * @returns {Placeable[]}
   */
  #tones(index) {
    const { backing, fillAlone } = this.settings;
    if (!backing || fillAlone) return [];
    const { name, warps } = this.heard;
    const start = (index - this.bars + this.fillBars) * this.block.bar;
    const warp = warps[index % warps.length];
    return tonesIn(this.block, name, index, (onset) => start + onset < 0 || this.#isGroove(start + onset)).map((tone) => {
      const onset = warp.sounding(tone.onset);
      return { ...tone, onset, quarters: warp.sounding(tone.onset + tone.quarters) - onset };
    });
  }

  /** Whether groove goes on at a place of the fill's bars, as written. @param {number} onset */
  #isGroove(onset) {
    const { fillStart, grooveSpans = [[0, fillStart]] } = this.block;
    return grooveSpans.some(([from, to]) => from <= onset && onset < to);
  }

  /**
   * A bar of groove; on the way back from the fill its *one* is the landing.
   *
   * @param {number} index of the bar in its loop
   * @param {boolean} again
   */
  #time(index, again) {
    const groove = this.#grooveIn(index);
    return again ? [...this.block.landing, ...groove.filter((hit) => hit.onset > 0)] : groove;
  }

  /** What the groove plays in a bar, by its place in the loop. @param {number} index */
  #grooveIn(index) {
    const leadsIn = this.heard.setups.get(index - this.bars + this.fillBars);
    return leadsIn ?? this.heard.groove[index % this.heard.groove.length];
  }

  /**
   * When the strokes of the engraved groove come in a bar. In a bar that leads into a fill, and of
   * another groove than is engraved, none do; on the way back from the fill its *one* does.
   *
   * @param {number} index of the bar in its loop
   * @returns {Placeable[]}
   */
  #grooveStrokes(index) {
    if (this.settings.fillAlone || this.heard.name !== this.block.groove) return [];
    const start = (index - this.bars + this.fillBars) * this.block.bar;
    return strokesOf(this.#grooveIn(index))
      .filter(({ onset }) => start < 0 || this.#goesOn(start + onset))
      .map(({ onset, note }) => ({ type: "groove", onset, note }));
  }

  /**
   * Whether groove goes on at a time of the fill's bars.
   *
   * @param {number} onset as it sounds
   */
  #goesOn(onset) {
    const { fillStart, grooveSpans = [[0, fillStart]] } = this.block;
    return grooveSpans.some(([from, to]) => {
      return this.heard.warp.sounding(from) <= onset && onset < this.heard.warp.sounding(to);
    });
  }

  /**
   * One of the fill's bars: groove where the fill does not play.
   *
   * @param {number} index of the bar in its loop
   * @param {boolean} again
   * @returns {Placeable[]}
   */
  #fill(index, again) {
    const { fillAlone, muteFill } = this.settings;
    const part = index - this.bars + this.fillBars;
    const start = part * this.block.bar;
    const before = fillAlone ? [] : this.#time(index, again).filter((hit) => this.#goesOn(start + hit.onset));
    const inBar = (/** @type {Sound[]} */ list) =>
      list
        .filter(({ onset }) => this.#isIn(part, onset))
        .map((sound) => ({ ...sound, onset: sound.onset - start }));
    const shown = [
      ...strokesOf(this.heard.fill).map(({ onset, note }) => /** @type {Placeable} */ ({ type: "note", onset, note })),
      ...this.block.counts.map(({ onset }, place) => {
        return /** @type {Placeable} */ ({ type: "count", onset: this.heard.warp.sounding(onset), index: place });
      }),
    ];
    return [
      ...soundsOf([...before, ...inBar(this.heard.feet)], "groove"),
      ...soundsOf(muteFill ? [] : inBar(this.heard.fill), "fill"),
      ...shown
        .filter(({ onset }) => this.#isIn(part, onset))
        .map((cue) => ({ ...cue, onset: cue.onset - start })),
    ];
  }

  /**
   * Whether it falls in this of the fill's bars; grace notes over the bar line are in the first.
   *
   * @param {number} part
   * @param {number} onset from the fill's bar line
   */
  #isIn(part, onset) {
    return Math.max(0, Math.floor(onset / this.block.bar)) === part;
  }

  /**
   * @param {number} number
   * @param {Placeable[]} events
   */
  #placed(number, events) {
    return events.map(({ onset, ...event }) => ({
      ...event,
      quarter: number * this.block.bar + onset,
    }));
  }
}
