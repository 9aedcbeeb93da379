// From a block and settings to what happens when. Pure: no page, no sound, no clock.
//
// The block is the JSON of `rhythms.notation.block_json`; positions in quarters. Times are
// seconds on the clock of whoever asks. The same window always gives the same events, so
// windows that touch give everything exactly once.
import { TempoMap } from "./tempo_map.js";

export const SLOWEST = 30;
export const FASTEST = 240;

export const DEFAULTS = Object.freeze({
  tempo: 80, // quarters a minute
  loops: 4, // 0: for ever
  countIn: 1, // bars
  click: "beats", // "beats", "one" or "off"
  groove: null, // a name among the block's grooves; null: the block's own
  fillAlone: false,
  muteFill: false,
  slow: false, // half the tempo
  ladderBy: 0, // quarters a minute faster …
  ladderEvery: 4, // … after so many loops
});

// Changes of these begin the loop anew; the others are taken up where the music is.
export const SHAPING = Object.freeze(["countIn", "fillAlone"]);

export class Schedule {
  // Starts at `time` with the count-in; `done` loops were played before. `at`, a {quarter, time},
  // goes on from there instead. A ladder climbs from the loop it is in.
  constructor(block, settings, { time = 0, done = 0, at = null } = {}) {
    this.block = block;
    this.settings = { ...DEFAULTS, ...settings };
    this.done = done;
    this.bars = this.settings.fillAlone ? 1 : block.bars;
    this.groove = block.grooves[this.settings.groove] ?? block.grooves[block.groove];
    this.origin = at ?? { quarter: 0, time };
    this.map = this.#tempoMap();
  }

  // The same music from `time` on with other settings.
  changed(settings, time) {
    if (this.#loopAt(this.map.quarterAt(time)) >= this.#toPlay) return this;
    const at = { quarter: this.map.quarterAt(time), time };
    return new Schedule(this.block, { ...this.settings, ...settings }, { done: this.done, at });
  }

  // Everything from `from` up to, but not at, `to`, in order of time.
  events(from, to) {
    const found = [];
    const last = Math.floor(this.map.quarterAt(to) / this.block.bar) + 1;
    for (let bar = Math.max(0, this.#barAt(from)); bar <= last; bar += 1) {
      for (const event of this.#bar(bar)) {
        const time = this.map.timeAt(event.quarter);
        if (from <= time && time < to) found.push({ ...event, time });
      }
    }
    return found.sort((one, other) => one.time - other.time);
  }

  // How many loops were played through by `time`.
  loopsAt(time) {
    return this.done + Math.min(this.#loopAt(this.map.quarterAt(time)), this.#toPlay);
  }

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

  // Loops played through at a position, since the start.
  #loopAt(quarter) {
    return Math.floor(Math.max(0, quarter - this.#countIn) / this.#loop);
  }

  #barAt(time) {
    return Math.floor(this.map.quarterAt(time) / this.block.bar);
  }

  #tempoMap() {
    const { tempo, slow, ladderBy, ladderEvery } = this.settings;
    const { quarter, time } = this.origin;
    const part = slow ? 0.5 : 1;
    const length = ladderEvery * this.#loop;
    const from = this.#countIn + this.#loopAt(quarter) * this.#loop + length;
    const ladder = ladderBy ? { from, length, by: ladderBy * part, top: FASTEST * part } : null;
    return new TempoMap(quarter, time, tempo * part, ladder);
  }

  // --- one bar -------------------------------------------------------------------------

  #bar(number) {
    const since = number - this.settings.countIn;
    const loop = Math.floor(since / this.bars);
    if (since < 0) return this.#counted(number);
    if (loop < this.#toPlay) return this.#played(number, loop, since % this.bars);
    return loop === this.#toPlay && since % this.bars === 0 ? this.#ended(number, loop) : [];
  }

  #counted(number) {
    const left = this.settings.countIn - number;
    const next = left > 1 ? "count-in" : this.#kind(0);
    const bar = { kind: "count-in", number: number + 1, of: this.settings.countIn, next };
    return this.#placed(number, [
      { type: "bar", onset: 0, loop: this.done, ...bar },
      ...this.#beats("count-in", "beats"),
    ]);
  }

  #played(number, loop, index) {
    const kind = this.#kind(index);
    const next = this.#isLast(loop, index) ? "end" : this.#kind((index + 1) % this.bars);
    const again = index === 0 && loop > 0;
    const bar = { kind, number: index + 1, of: this.bars, loop: this.done + loop, next };
    return this.#placed(number, [
      ...(again ? [this.#looped(number, loop)] : []),
      { type: "bar", onset: 0, ...bar },
      ...this.#beats(kind, this.settings.click),
      ...(kind === "fill" ? this.#fill() : this.#time(again)),
    ]);
  }

  #ended(number, loop) {
    const beat = this.block.beats[1]?.onset ?? this.block.bar;
    return this.#placed(number, [
      this.#looped(number, loop),
      ...sounds(this.block.landing),
      { type: "ended", onset: beat, loops: this.done + loop },
    ]);
  }

  #isLast(loop, index) {
    return loop + 1 === this.#toPlay && index + 1 === this.bars;
  }

  #kind(index) {
    return index === this.bars - 1 ? "fill" : "groove";
  }

  #looped(number, loop) {
    const tempo = this.map.tempoAt((number - this.bars) * this.block.bar);
    return { type: "loop", onset: 0, loops: this.done + loop, tempo };
  }

  #beats(kind, click) {
    return this.block.beats.flatMap((beat, index) => {
      const isHeard = click === "beats" || (click === "one" && index === 0);
      const name = kind === "count-in" ? kind : index === 0 ? "click one" : "click";
      const heard = isHeard ? [{ type: "click", onset: beat.onset, name }] : [];
      return [{ type: "beat", onset: beat.onset, number: beat.number, kind }, ...heard];
    });
  }

  // A bar of groove; on the way back from the fill its *one* is the landing.
  #time(again) {
    if (!again) return sounds(this.groove);
    return [...sounds(this.block.landing), ...sounds(this.groove.filter((hit) => hit.onset > 0))];
  }

  #fill() {
    const played = this.settings.muteFill ? [] : sounds(this.block.fill);
    const lit = this.block.fill.filter((sound) => !sound.grace);
    const notes = lit.filter((sound, index) => sound.note !== lit[index - 1]?.note);
    const counts = this.block.counts.map((count, index) => ({
      type: "count",
      onset: count.onset,
      index,
    }));
    return [...played, ...notes.map(({ onset, note }) => ({ type: "note", onset, note })), ...counts];
  }

  #placed(number, events) {
    return events.map(({ onset, ...event }) => ({
      ...event,
      quarter: number * this.block.bar + onset,
    }));
  }
}

function sounds(list) {
  return list.map(({ onset, surface, dynamic, note }) => ({
    type: "sound",
    onset,
    surface,
    dynamic,
    note,
  }));
}
