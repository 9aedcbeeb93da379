// Where contexts of sound are opened, and waited for until they run.

const PATIENCE = 3_000; // milliseconds: with its sounds loaded, a context that may run does so at once

export class NoSoundError extends Error {}

// Only after a touch or a key: browsers keep a page silent before.
export function openContext() {
  // The switch that mutes an iPhone's ring does not mute what somebody plays.
  if (navigator.audioSession) navigator.audioSession.type = "playback";
  return new AudioContext({ latencyHint: "interactive" });
}

/**
 * Resolve once the context runs. Where the device has no sound to give, as in a call, `resume`
 * may never settle: that rejects with NoSoundError.
 *
 * @param {Pick<AudioContext, "resume" | "state">} context
 */
export async function running(context) {
  if (context.state === "running") return;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  const silence = new Promise((resolve, reject) => {
    const look = () => (context.state === "running" ? resolve(null) : reject(new NoSoundError("The context does not run.")));
    timer = setTimeout(look, PATIENCE);
  });
  await Promise.race([context.resume(), silence]).finally(() => clearTimeout(timer));
}

/**
 * What is wrong where nothing sounds, in words.
 *
 * @param {unknown} error
 * @param {string} again what to do then
 */
export function troubleInWords(error, again) {
  if (error instanceof NoSoundError) return `This device gives no sound now: a call or another app may have it. End that, then ${again}.`;
  return `The sounds did not come. Check the network, then ${again}.`;
}
