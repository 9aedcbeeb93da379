// How late this device is, for each way of playing: measured once, kept on the device.

/** @typedef {import("./recorder.js").Delay} Delay */

const PLACE = "device-delay";

/** @param {string} source a way of playing: "pads" or "web midi" */
export function latencyOf(source) {
  return kept()[source]?.latency ?? null;
}

/**
 * @param {string} source
 * @param {Delay} measured
 */
export function keepLatency(source, measured) {
  write({ ...kept(), [source]: measured });
}

/** @param {string} source */
export function forgetLatency(source) {
  const { [source]: _, ...others } = kept();
  write(others);
}

/** @param {string} source */
export function measuredOf(source) {
  return kept()[source] ?? null;
}

/** @returns {Record<string, Delay>} */
function kept() {
  try {
    return JSON.parse(localStorage.getItem(PLACE) ?? "{}") ?? {};
  } catch {
    return {};
  }
}

/** @param {Record<string, Delay>} all */
function write(all) {
  try {
    localStorage.setItem(PLACE, JSON.stringify(all));
  } catch {
    // A browser that keeps nothing measures anew each time.
  }
}
