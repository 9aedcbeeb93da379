// How late this device is, for each way of playing: measured once, kept on the device.
const PLACE = "device-delay";

export function latencyOf(source) {
  return kept()[source]?.latency ?? null;
}

export function keepLatency(source, measured) {
  write({ ...kept(), [source]: measured });
}

export function forgetLatency(source) {
  const { [source]: _, ...others } = kept();
  write(others);
}

export function measuredOf(source) {
  return kept()[source] ?? null;
}

function kept() {
  try {
    return JSON.parse(localStorage.getItem(PLACE)) ?? {};
  } catch {
    return {};
  }
}

function write(all) {
  try {
    localStorage.setItem(PLACE, JSON.stringify(all));
  } catch {
    // A browser that keeps nothing measures anew each time.
  }
}
