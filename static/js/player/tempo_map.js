// Where a position, in quarters from the start, falls in time, and back. Pure.
//
// Every time is worked out from the last change of tempo, never from the note before, so that
// nothing adds up over a long practice.

const SECONDS_A_MINUTE = 60;

export class TempoMap {
  // `tempo` in quarters a minute. `ladder` is null or {from, length, by, top}: from the position
  // `from` on, and every `length` quarters after it, the tempo rises by `by` up to `top`.
  constructor(quarter, time, tempo, ladder = null) {
    this.changes = [{ quarter, time, tempo }];
    this.ladder = ladder;
    this.step = ladder ? ladder.from : Infinity;
  }

  timeAt(quarter) {
    this.#climb((step) => step <= quarter);
    const change = this.changes.findLast((one) => one.quarter <= quarter) ?? this.changes[0];
    return timeFrom(change, quarter);
  }

  quarterAt(time) {
    this.#climb((step) => timeFrom(this.changes.at(-1), step) <= time);
    const change = this.changes.findLast((one) => one.time <= time) ?? this.changes[0];
    return change.quarter + ((time - change.time) * change.tempo) / SECONDS_A_MINUTE;
  }

  tempoAt(quarter) {
    this.#climb((step) => step <= quarter);
    return (this.changes.findLast((one) => one.quarter <= quarter) ?? this.changes[0]).tempo;
  }

  #climb(isReached) {
    while (isReached(this.step)) {
      const last = this.changes.at(-1);
      const tempo = Math.min(last.tempo + this.ladder.by, Math.max(this.ladder.top, last.tempo));
      this.changes.push({ quarter: this.step, time: timeFrom(last, this.step), tempo });
      this.step = tempo === last.tempo ? Infinity : this.step + this.ladder.length;
    }
  }
}

function timeFrom(change, quarter) {
  return change.time + ((quarter - change.quarter) * SECONDS_A_MINUTE) / change.tempo;
}
