// How loud each part is, and what no loudspeaker is asked to give. No page, no storage.
//
// A block played at the usual levels comes to -20 LUFS (ITU-R BS.1770) without a true peak over
// -1 dB: the sounds are raised, and their peaks rounded off by a curve. A compressor would be 6 ms
// late, and so would one who plays to it; a curve is on time.

/** @typedef {"click" | "groove" | "fill" | "backing" | "voice"} Part the feet that keep going are groove */
/**
 * @typedef {object} Levels each from 0 to TOP
 * @property {number} volume
 * @property {number} clickLevel
 * @property {number} grooveLevel
 * @property {number} fillLevel
 * @property {number} backingLevel
 * @property {number} voiceLevel
 * @property {"headphones" | "phone"} output what it is heard on: one of the manifest's `balances`
 */

export const TOP = 10;
export const USUAL = 7; // of a part: so there is room above

/** @type {Readonly<Levels>} */
export const USUAL_LEVELS = Object.freeze({
  volume: TOP,
  clickLevel: USUAL,
  grooveLevel: USUAL,
  fillLevel: USUAL,
  backingLevel: USUAL,
  voiceLevel: USUAL,
  output: "headphones",
});

/** Each part at its usual level, against the others. @type {Record<Part, number>} */
const BALANCE = { click: 1.05, groove: 1, fill: 1, backing: 0.3, voice: 0.65 };
const BOOST = 2.5;

// The curve: straight up to the knee, then ever flatter up to the top, which it never passes.
const KNEE = 0.25;
const HIGHEST = 0.72;
const REACH = 16; // the loudest that comes in
const POINTS = 16_385; // odd: silence stays silence

/** @param {Partial<Levels>} levels */
export function volumeLevel({ volume = TOP }) {
  return (BOOST * (volume / TOP) ** 2) / REACH;
}

/**
 * @param {Part} part
 * @param {Partial<Levels>} levels
 */
export function partLevel(part, levels) {
  const level = levels[`${part}Level`] ?? USUAL;
  return BALANCE[part] * (level / USUAL) ** 2;
}

/** @param {number} sample */
export function rounded(sample) {
  const height = Math.abs(sample);
  if (height <= KNEE) return sample;
  const room = HIGHEST - KNEE;
  return Math.sign(sample) * (KNEE + room * Math.tanh((height - KNEE) / room));
}

/** Takes in a REACH-th of the sound. @param {BaseAudioContext} context */
export function ceiling(context) {
  const shaper = context.createWaveShaper();
  const middle = (POINTS - 1) / 2;
  shaper.curve = Float32Array.from({ length: POINTS }, (_, point) => rounded((REACH * (point - middle)) / middle));
  return shaper;
}
