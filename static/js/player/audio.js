// From strokes to the loudspeaker, each at its exact time: parts with a level each, what rings ended
// by what ends it, each drum where it stands, and nothing louder than the loudspeaker can.
//
//   source - level - place - part - volume - ceiling - loudspeaker
import { ceiling, partLevel, volumeLevel } from "./levels.js";

/** @typedef {import("./levels.js").Part} Part */
/** @typedef {import("./levels.js").Levels} Levels */
/** @typedef {import("./sound_kit.js").DecodedSound} DecodedSound */
/** @typedef {import("./sound_kit.js").Take} Take */
/** @typedef {import("./sound_kit.js").Balance} Balance */
/**
 * What is needed of a `SoundKit`.
 *
 * @typedef {{get: (name: string) => Record<string, DecodedSound> | undefined, pans?: Record<string, number>, balances?: Record<string, Balance>}} Sounds
 */
/** @typedef {{part?: Part, level?: number}} How `level` 1: as loud as it is */
/**
 * `until` is when it ends by itself, `ended` when it or another sound ends it.
 *
 * @typedef {{source: AudioBufferSourceNode, level: GainNode, loud: number, name: string, time: number, until: number, ended: number}} Voice
 */
/** @typedef {{part: Part, loud: number, rate?: number, lead?: number}} Played */

const FADE = 0.02; // seconds: a stop without a click
const CHOKE = 0.02; // seconds in which a cymbal that is ended dies away
const WORD = 0.04; // seconds in which a tone or a word dies away
const WORDS = "say "; // one at a time
const OCTAVE = 12;

/** @param {number} decibels */
const gainOf = (decibels = 0) => 10 ** (decibels / 20);

export class Desk {
  /**
   * Plays the sounds of a kit in an audio context, also an offline one.
   *
   * @param {BaseAudioContext} context
   * @param {Sounds} kit
   * @param {Partial<Levels>} [levels]
   */
  constructor(context, kit, levels = {}) {
    this.context = context;
    this.kit = kit;
    this.bus = context.createGain();
    this.bus.connect(ceiling(context)).connect(context.destination);
    /** @type {Map<Part, GainNode>} */
    this.parts = new Map();
    /** @type {Map<string, AudioNode>} */
    this.places = new Map();
    /** @type {Set<Voice>} */
    this.queued = new Set();
    /** How often each sound was struck. @type {Map<string, number>} */
    this.struck = new Map();
    /** @type {Partial<Levels>} */
    this.levels = levels;
    this.bus.gain.value = volumeLevel(levels);
  }

  /** From now on. @param {Partial<Levels>} levels */
  balance(levels) {
    const now = this.context.currentTime;
    this.levels = levels;
    this.bus.gain.setTargetAtTime(volumeLevel(levels), now, FADE);
    for (const [part, node] of this.parts) node.gain.setTargetAtTime(partLevel(part, levels), now, FADE);
  }

  /**
   * @param {string} name
   * @param {string} dynamic
   * @param {number} time in seconds of the context
   * @param {How} [how]
   */
  strike(name, dynamic, time, { part = "groove", level = 1 } = {}) {
    const { gain, sound: instead } = this.kit.balances?.[this.levels.output ?? ""]?.[name] ?? {};
    const dynamics = this.kit.get(instead ?? name) ?? this.kit.get(name) ?? {};
    const sound = dynamics[dynamic] ?? dynamics.normal;
    if (!sound) return;
    const { ends = [], lead = 0 } = sound;
    for (const voice of this.queued) {
      if (ends.includes(voice.name)) this.#end(voice, time, CHOKE);
      if (name.startsWith(WORDS) && voice.name.startsWith(WORDS)) this.#end(voice, time - lead, WORD);
    }
    this.#play(name, this.#takeOf(name, sound), time, { part, loud: level * gainOf(gain), lead });
  }

  /**
   * A pitch of what is played at several, for so long.
   *
   * @param {string} name
   * @param {number} pitch MIDI: 69 is a of 440 Hz
   * @param {number} time
   * @param {number} seconds
   */
  tone(name, pitch, time, seconds) {
    const tones = this.kit.get(name) ?? {};
    const away = (/** @type {string} */ one) => Math.abs(Number(one) - pitch);
    const [nearest] = Object.keys(tones).sort((one, other) => away(one) - away(other));
    if (!nearest) return;
    const rate = 2 ** ((pitch - Number(nearest)) / OCTAVE);
    const voice = this.#play(name, tones[nearest], time, { part: "backing", loud: 1, rate });
    voice.until = time + seconds;
    this.#fade(voice, voice.until, WORD);
  }

  /**
   * Each stroke of a sound is the next of its takes, so that no two are the same.
   *
   * @param {string} name
   * @param {DecodedSound} sound
   * @returns {Take}
   */
  #takeOf(name, sound) {
    const { others = [] } = sound;
    const number = this.struck.get(name) ?? 0;
    this.struck.set(name, number + 1);
    return [sound, ...others][number % (others.length + 1)];
  }

  /**
   * What is to be on time after a `lead` begins before; what is left of it, where that has passed.
   *
   * @param {string} name
   * @param {Take} take
   * @param {number} time
   * @param {Played} how
   */
  #play(name, { buffer, offset }, time, { part, loud, rate = 1, lead = 0 }) {
    const source = this.context.createBufferSource();
    source.buffer = buffer;
    source.playbackRate.value = rate;
    const level = this.context.createGain();
    level.gain.value = loud;
    source.connect(level).connect(this.#place(name, part));
    const passed = lead && Math.max(0, this.context.currentTime - time + lead);
    source.start(time - lead + passed, offset + passed);
    /** @type {Voice} */
    const voice = { source, level, loud, name, time, until: Infinity, ended: Infinity };
    this.queued.add(voice);
    source.addEventListener("ended", () => this.queued.delete(voice));
    return voice;
  }

  /**
   * Where a sound of a part goes in: to where it stands, unless there is one loudspeaker only.
   *
   * @param {string} name
   * @param {Part} part
   * @returns {AudioNode}
   */
  #place(name, part) {
    const pan = this.levels.output === "phone" ? 0 : (this.kit.pans?.[name] ?? 0);
    if (!pan) return this.#part(part);
    const key = `${part} ${pan}`;
    const known = this.places.get(key);
    if (known) return known;
    const panner = this.context.createStereoPanner();
    panner.pan.value = pan;
    const made = this.context.createGain();
    made.gain.value = Math.SQRT2; // in the middle it takes 3 dB from each side
    made.connect(panner).connect(this.#part(part));
    this.places.set(key, made);
    return made;
  }

  /** @param {Part} part */
  #part(part) {
    const known = this.parts.get(part);
    if (known) return known;
    const made = this.context.createGain();
    made.gain.value = partLevel(part, this.levels);
    made.connect(this.bus);
    this.parts.set(part, made);
    return made;
  }

  /**
   * Let what rings die away, once; what is struck at the same time rings on.
   *
   * @param {Voice} voice
   * @param {number} time
   * @param {number} fade
   */
  #end(voice, time, fade) {
    if (voice.time < time && voice.ended > time) this.#fade(voice, time, fade);
  }

  /**
   * @param {Voice} voice
   * @param {number} time
   * @param {number} fade
   */
  #fade(voice, time, fade) {
    voice.level.gain.cancelScheduledValues(time);
    voice.level.gain.setValueAtTime(voice.loud, time);
    voice.level.gain.linearRampToValueAtTime(0, time + fade);
    voice.ended = time;
  }

  /** Take back what has not sounded by `time`. @param {number} time */
  cancel(time) {
    for (const voice of this.queued) {
      if (voice.ended >= time) {
        voice.level.gain.cancelScheduledValues(time); // what ends it is taken back as well
        voice.ended = Infinity;
        if (voice.until < Infinity) this.#fade(voice, voice.until, WORD);
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
