// Where a position, in quarters from the start, falls in time, and back. Pure.
//
// Every time is worked out from the last change of tempo, never from the note before, so that
// nothing adds up over a long practice.

/** @typedef {{quarter: number, time: number, tempo: number}} TempoChange */

/**
 * From the position `from` on, and every `length` quarters after it, the tempo rises by `by` up to
 * `top`.
 *
 * @typedef {{from: number, length: number, by: number, top: number}} Ladder
 */

const SECONDS_A_MINUTE = 60;

export class TempoMap {
  /**
   * @param {number} quarter the position that falls at `time`
   * @param {number} time seconds
   * @param {number} tempo quarters a minute
   * @param {Ladder | null} ladder
   */
  constructor(quarter, time, tempo, ladder = null) {
    /** @type {[TempoChange, ...TempoChange[]]} */
    this.changes = [{ quarter, time, tempo }];
    this.ladder = ladder;
    this.step = ladder ? ladder.from : Infinity;
  }

  /** @param {number} quarter */
  timeAt(quarter) {
    return timeFrom(this.#changeBefore(quarter), quarter);
  }

  /** @param {number} time */
  quarterAt(time) {
    this.#climb((step) => timeFrom(this.#last, step) <= time);
    const change = this.changes.findLast((one) => one.time <= time) ?? this.changes[0];
    return change.quarter + ((time - change.time) * change.tempo) / SECONDS_A_MINUTE;
  }

  /** @param {number} quarter */
  tempoAt(quarter) {
    return this.#changeBefore(quarter).tempo;
  }

  get #last() {
    return this.changes.at(-1) ?? this.changes[0];
  }

  /** @param {number} quarter */
  #changeBefore(quarter) {
    this.#climb((step) => step <= quarter);
    return this.changes.findLast((one) => one.quarter <= quarter) ?? this.changes[0];
  }

  /** @param {(step: number) => boolean} isReached whether the position of the next step is */
  #climb(isReached) {
    while (this.ladder && isReached(this.step)) {
      const last = this.#last;
      const tempo = Math.min(last.tempo + this.ladder.by, Math.max(this.ladder.top, last.tempo));
      this.changes.push({ quarter: this.step, time: timeFrom(last, this.step), tempo });
      this.step = tempo === last.tempo ? Infinity : this.step + this.ladder.length;
    }
  }
}

/**
 * @param {TempoChange} change
 * @param {number} quarter
 */
function timeFrom(change, quarter) {
  return change.time + ((quarter - change.quarter) * SECONDS_A_MINUTE) / change.tempo;
}
