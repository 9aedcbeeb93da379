// Sounds from the network, decoded: what the manifest says of each, and of all.

/** @typedef {readonly [name: string, dynamic: string]} Wanted a dynamic of EVERY: all that there are of it */
/** @typedef {{buffer: AudioBuffer, offset: number}} Take */
/**
 * `offset` is where it begins, `lead` how long after that it is to be on time: a word with its
 * vowel. `others` are further takes of the same stroke. `ends` is what it ends that still rings: a
 * closed hi-hat an open one.
 *
 * @typedef {Take & {lead?: number, others?: Take[], ends?: string[]}} DecodedSound
 */
/** @typedef {{url: string, lead?: number, others?: string[]}} SoundFile */
/** @typedef {Record<string, {gain?: number, sound?: string}>} Balance by name: dB, and what is struck instead */
/** @typedef {{sounds: Record<string, Record<string, SoundFile>>, chokes?: Record<string, string[]>, pans?: Record<string, number>, balances?: Record<string, Balance>}} Manifest */

export const EVERY = "*";
const ATTACK = 0.02; // of the peak: where a sound begins

/**
 * Sounds by name, then dynamic; where each stands from left (-1) to right; how each is balanced for
 * what it is heard on.
 *
 * @extends {Map<string, Record<string, DecodedSound>>}
 */
export class SoundKit extends Map {
  /** @param {SoundKit | null} [earlier] */
  constructor(earlier = null) {
    super(earlier ?? []);
    /** @type {Record<string, number>} */
    this.pans = earlier?.pans ?? {};
    /** @type {Record<string, Balance>} */
    this.balances = earlier?.balances ?? {};
  }
}

/**
 * The sounds that a list asks for, and what they are balanced by. Encoders put silence before a
 * sound, hence `offset`. What `known`, an earlier kit, holds is not fetched again. Rejects where one
 * does not come, unless it is one of the `spare` names: those are left out.
 *
 * @param {BaseAudioContext} context
 * @param {string} address of the manifest
 * @param {Wanted[]} wanted
 * @param {{known?: SoundKit, spare?: Wanted[], told?: (done: number, of: number) => void, soon?: boolean}} [more] `told`
 *   how many of those that must come are there; `soon`: without their further takes, which follow
 * @returns {Promise<SoundKit>}
 */
export async function loadKit(context, address, wanted, { known = new SoundKit(), spare = [], told = () => {}, soon = false } = {}) {
  const isMissing = (/** @type {Wanted} */ [name, dynamic]) =>
    dynamic === EVERY ? !known.has(name) : !known.get(name)?.[dynamic];
  if (![...wanted, ...spare].some(isMissing)) return known;
  /** @type {Manifest} */
  const manifest = await fetched(address).then((answer) => answer.json());
  const kit = new SoundKit(known);
  kit.pans = manifest.pans ?? {};
  kit.balances = manifest.balances ?? {};
  const needed = inFull(wanted, manifest).filter(isMissing);
  const welcome = inFull(spare, manifest).filter(isMissing);
  let done = 0;
  told(done, needed.length);
  const loaded = [
    ...needed.map(async (one) => {
      const sound = await decoded(context, manifest, one);
      told((done += 1), needed.length);
      return sound;
    }),
    ...welcome.map((one) => decoded(context, manifest, one).catch(() => null)),
  ];
  const there = (await Promise.all(loaded)).flatMap((one) => one ?? []);
  for (const { name, dynamic, sound } of there) kit.set(name, { ...kit.get(name), [dynamic]: sound });
  const further = Promise.all(there.map(({ sound, urls }) => addTakes(context, sound, urls)));
  if (!soon) await further;
  return kit;
}

/**
 * Each singly, and what any balance strikes instead.
 *
 * @param {Wanted[]} wanted
 * @param {Manifest} manifest
 * @returns {Wanted[]}
 */
function inFull(wanted, { sounds, balances = {} }) {
  const all = wanted.flatMap(([name, dynamic]) => {
    const instead = Object.values(balances).flatMap((balance) => balance[name]?.sound ?? []);
    return [name, ...instead].flatMap((one) => {
      const dynamics = dynamic === EVERY ? Object.keys(sounds[one] ?? {}) : [dynamic];
      return dynamics.map((each) => /** @type {Wanted} */ ([one, each]));
    });
  });
  return [...new Map(all.map((one) => [one.join(), one])).values()];
}

/**
 * @param {BaseAudioContext} context
 * @param {Manifest} manifest
 * @param {Wanted} wanted
 */
async function decoded(context, { sounds, chokes = {} }, [name, dynamic]) {
  const made = sounds[name]?.[dynamic] ?? sounds[name]?.normal;
  if (!made) throw new Error(`No sound for ${name}.`);
  const first = await take(context, made.url);
  /** @type {DecodedSound} */
  const sound = { ...first, lead: made.lead, others: [], ends: chokes[name] };
  return { name, dynamic, sound, urls: made.others ?? [] };
}

/**
 * Those that do not come are done without.
 *
 * @param {BaseAudioContext} context
 * @param {DecodedSound} sound
 * @param {string[]} urls
 */
async function addTakes(context, sound, urls) {
  const takes = await Promise.all(urls.map((url) => take(context, url))).catch(() => []);
  sound.others?.push(...takes);
}

/**
 * @param {BaseAudioContext} context
 * @param {string} url
 */
async function take(context, url) {
  const bytes = await fetched(url).then((answer) => answer.arrayBuffer());
  const buffer = await context.decodeAudioData(bytes);
  return { buffer, offset: attackOf(buffer) };
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
