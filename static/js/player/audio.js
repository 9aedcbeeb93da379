// Sounds from the network to the loudspeaker, each at its exact time.

/** @typedef {readonly [name: string, dynamic: string]} Wanted */
/**
 * `offset` is where it begins, `ends` what it ends that still rings: a closed hi-hat an open one.
 *
 * @typedef {{buffer: AudioBuffer, offset: number, ends?: string[]}} DecodedSound
 */
/** @typedef {Map<string, Record<string, DecodedSound>>} SoundKit name, then dynamic */
/** @typedef {{sounds: Record<string, Record<string, {url: string}>>, chokes?: Record<string, string[]>}} Manifest */
/**
 * `ended` is when another sound ends it.
 *
 * @typedef {{source: AudioBufferSourceNode, level: GainNode, name: string, time: number, ended: number}} Voice
 */

const LEVEL = 0.8; // leaves room for an accent, a bass drum and a click at once
const FADE = 0.02; // seconds: a stop without a click
const CHOKE = 0.02; // seconds in which a cymbal that is ended dies away
const ATTACK = 0.02; // of the peak: where a sound begins

/**
 * The sounds that a list asks for, decoded. Encoders put silence before a sound, hence `offset`.
 * What `known`, an earlier kit, holds is not fetched again. Rejects where one does not come.
 *
 * @param {BaseAudioContext} context
 * @param {string} address of the manifest
 * @param {Wanted[]} wanted
 * @param {SoundKit} known
 * @returns {Promise<SoundKit>}
 */
export async function loadKit(context, address, wanted, known = new Map()) {
  const missing = wanted.filter(([name, dynamic]) => !known.get(name)?.[dynamic]);
  if (missing.length === 0) return known;
  /** @type {Manifest} */
  const { sounds, chokes = {} } = await fetched(address).then((answer) => answer.json());
  const loaded = missing.map(async ([name, dynamic]) => {
    const made = sounds[name]?.[dynamic] ?? sounds[name]?.normal;
    if (!made) throw new Error(`No sound for ${name}.`);
    const bytes = await fetched(made.url).then((answer) => answer.arrayBuffer());
    const buffer = await context.decodeAudioData(bytes);
    return { name, dynamic, sound: { buffer, offset: attackOf(buffer), ends: chokes[name] } };
  });
  const kit = new Map(known);
  for (const { name, dynamic, sound } of await Promise.all(loaded)) {
    kit.set(name, { ...kit.get(name), [dynamic]: sound });
  }
  return kit;
}

/** Seconds from the start of the buffer to the first sample that is clearly heard. @param {AudioBuffer} buffer */
export function attackOf(buffer) {
  const samples = buffer.getChannelData(0);
  const peak = samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  const first = samples.findIndex((sample) => Math.abs(sample) >= ATTACK * peak);
  return peak ? first / buffer.sampleRate : 0;
}

/** @param {string} address */
async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  return answer;
}

export class Desk {
  /**
   * Plays the sounds of a kit in an audio context, also an offline one.
   *
   * @param {BaseAudioContext} context
   * @param {Pick<SoundKit, "get">} kit
   */
  constructor(context, kit) {
    this.context = context;
    this.kit = kit;
    this.bus = context.createGain();
    this.bus.gain.value = LEVEL;
    this.bus.connect(context.destination);
    /** @type {Set<Voice>} */
    this.queued = new Set();
  }

  /**
   * @param {string} name
   * @param {string} dynamic
   * @param {number} time in seconds of the context
   */
  strike(name, dynamic, time) {
    const dynamics = this.kit.get(name) ?? {};
    const sound = dynamics[dynamic] ?? dynamics.normal;
    if (!sound) return;
    const source = this.context.createBufferSource();
    source.buffer = sound.buffer;
    const level = this.context.createGain();
    source.connect(level).connect(this.bus);
    source.start(time, sound.offset);
    for (const ringing of sound.ends ?? []) this.#end(ringing, time);
    const voice = { source, level, name, time, ended: Infinity };
    this.queued.add(voice);
    source.addEventListener("ended", () => this.queued.delete(voice));
  }

  /**
   * Let what rings die away, once; what is struck at the same time rings on.
   *
   * @param {string} name
   * @param {number} time
   */
  #end(name, time) {
    for (const voice of this.queued) {
      if (voice.name !== name || voice.time >= time || voice.ended <= time) continue;
      voice.level.gain.cancelScheduledValues(time);
      voice.level.gain.setValueAtTime(1, time);
      voice.level.gain.linearRampToValueAtTime(0, time + CHOKE);
      voice.ended = time;
    }
  }

  /** Take back what has not sounded by `time`. @param {number} time */
  cancel(time) {
    for (const voice of this.queued) {
      if (voice.ended >= time) {
        voice.level.gain.cancelScheduledValues(time); // what ends it is taken back as well
        voice.ended = Infinity;
      }
      if (voice.time < time) continue;
      voice.source.disconnect();
      voice.source.stop();
      this.queued.delete(voice);
    }
  }

  // Silence, now.
  stop() {
    const now = this.context.currentTime;
    this.cancel(now);
    this.bus.gain.setTargetAtTime(0, now, FADE);
    for (const { source } of this.queued) source.stop(now + 10 * FADE);
    this.queued.clear();
  }
}
