// What is said of a block: how its bars go by, and what its tempo counts.

/** @typedef {import("./block.js").Block} Block */

/**
 * "4 bars: 3 of groove, then the fill."
 *
 * @param {Block} block
 * @param {boolean} fillAlone
 */
export function blockInWords(block, fillAlone) {
  const { bar, bars, fillBars = 1, fillStart, grooveSpans = [] } = block;
  if (fillAlone || (bars <= fillBars && !grooveSpans.length && !fillStart)) return "The fill alone.";
  if (grooveSpans.length > 1) return `${bars} bars: a fill half-way and one at the end.`;
  const before = bars - fillBars + Math.floor(fillStart / bar);
  const from = startsOn(block);
  if (fillStart % bar === 0 || !from) return `${bars} bars: ${before} of groove, then the fill.`;
  return `${bars} bars: groove up to ${inWords(from, block)} of bar ${before + 1}, then the fill.`;
}

/**
 * The count that a fill starts on after more groove in its bar; "" where it fills the bar.
 *
 * @param {Block} block
 */
export function startsOn({ counts, fillStart }) {
  return fillStart ? (counts.find(({ onset }) => onset === fillStart)?.label ?? "") : "";
}

/**
 * What the tempo counts: in eighth-note meters the beat that is felt is not its quarter.
 *
 * @param {Block | null} block
 * @param {number} tempo
 */
export function unitInWords(block, tempo) {
  if (!block || !inEighths(block)) return "beats a minute";
  const { bar, beats } = block;
  const isDotted = beats.every(({ onset }, index) => onset === 1.5 * index) && bar === 1.5 * beats.length;
  return isDotted ? `quarters; dotted ${Math.round((tempo / 1.5) * 10) / 10}` : "quarters a minute";
}

/** @param {Block} block */
const inEighths = ({ meter }) => meter.includes("/8");

/** @param {string} count @param {Block} block */
const inWords = (count, block) => (/^\d+$/.test(count) ? `${inEighths(block) ? "count" : "beat"} ${count}` : count);
