// What is struck, and when: a list of [milliseconds, key, velocity]. Pure: no page, no clock.

/** @typedef {{tempo: number, start: number}} HeardClick `start`: the time of a bar's first count */
/** @typedef {[ms: number, key: number, velocity: number]} TakeEvent */
/** @typedef {{latency: number, spread: number, strokes: number}} Delay in milliseconds, and of how many */

const BEFORE = 300; // milliseconds: strokes this long before the first bar still count

export class Recorder {
  /**
   * All times are milliseconds of one clock. What is struck while it is counted in is left out.
   *
   * @param {number} origin
   * @param {HeardClick | null} click
   */
  constructor(origin, click = null) {
    this.origin = origin;
    this.click = click;
    /** @type {TakeEvent[]} */
    this.events = [];
  }

  /**
   * @param {number} time
   * @param {number} key
   * @param {number} velocity
   * @returns {boolean} whether the stroke is kept
   */
  hit(time, key, velocity) {
    if (this.click && time < this.click.start - BEFORE) return false;
    this.events.push([Math.max(0, round(time - this.origin)), key, velocity]);
    return true;
  }

  /** The take as the server wants it, but for what it is of. @param {number} end */
  take(end) {
    const click = this.click && { tempo: this.click.tempo, start: round(this.click.start - this.origin) };
    return { events: this.events, click, seconds: round((end - this.origin) / 1000) };
  }
}

/**
 * Where strokes lie against the beats of a click: the middle, and the spread, in milliseconds.
 * Strokes nearer to the beat before or after are taken as that beat's. Null for too few.
 *
 * @param {number[]} times
 * @param {HeardClick} click
 * @param {number} fewest
 * @returns {Delay | null}
 */
export function delayOf(times, click, fewest = 12) {
  const beat = 60000 / click.tempo;
  const off = times.map((time) => {
    const since = (time - click.start) / beat;
    return (since - Math.round(since)) * beat;
  });
  if (off.length < fewest) return null;
  const middle = median(off);
  const apart = off.map((one) => Math.abs(one - middle));
  return { latency: round(middle), spread: round(1.4826 * median(apart)), strokes: off.length };
}

/** @param {number[]} numbers at least one */
export function median(numbers) {
  const sorted = [...numbers].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** To a hundredth. @param {number} number */
function round(number) {
  return Math.round(number * 100) / 100;
}
