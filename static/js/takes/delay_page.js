// Measures how late this device is: strokes along with a click, and what is left in the middle.
import { Click } from "./click.js";
import { listenToKeys, listenToMidi, listenToPads } from "./inputs.js";
import { forgetLatency, keepLatency, measuredOf } from "./latency.js";
import { delayOf } from "./recorder.js";

const TAPS = 16;
const TEMPO = 90;
const TOO_LOOSE = 45; // milliseconds of spread that no middle can be trusted with
const root = document.querySelector("[data-delay]");
const part = (name) => root.querySelector(`[data-${name}]`);
const click = new Click(root.dataset.sounds, (number) => (part("beat").textContent = number));
let [heard, times] = [null, []];

function say(words) {
  part("status").textContent = words;
}

function tellKept() {
  const measured = measuredOf(part("way").value);
  part("forget").hidden = !measured;
  say(measured ? `Measured: ${Math.round(measured.latency)} ms late.` : "Not measured yet.");
}

async function begin() {
  if (click.isRunning) {
    stop();
    tellKept();
    return;
  }
  times = [];
  part("count").textContent = 0;
  try {
    if (part("way").value === "web midi") await listenToMidi(hit);
    heard = await click.start({ tempo: TEMPO, bar: 4, beats: [0, 1, 2, 3] });
  } catch {
    say("This did not work: allow MIDI in the browser, or check the network for the click.");
    return;
  }
  part("begin").textContent = "Stop";
  say("Four are counted in, then tap on every click.");
}

function stop() {
  click.stop();
  heard = null;
  part("beat").textContent = "–";
  part("begin").textContent = "Start the click";
}

function hit(time, _key, _velocity, from) {
  if (!heard || from !== part("way").value || time < heard.start - 300) return;
  times.push(time);
  part("count").textContent = times.length;
  if (times.length < TAPS) return;
  const found = delayOf(times, heard);
  stop();
  if (found.spread > TOO_LOOSE) {
    say(`The taps lie too far apart (${Math.round(found.spread)} ms) to measure by. Try once more, with the click.`);
    return;
  }
  keepLatency(part("way").value, found);
  tellKept();
}

part("begin").addEventListener("click", begin);
part("forget").addEventListener("click", () => {
  forgetLatency(part("way").value);
  tellKept();
});
part("way").addEventListener("change", tellKept);
listenToPads(root, hit);
listenToKeys(root, hit, () => click.isRunning);
addEventListener("pagehide", () => click.stop());
root.hidden = false;
tellKept();
