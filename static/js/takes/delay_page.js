// Measures how late this device is: strokes along with a click, and what is left in the middle.
import { one, part } from "../site/dom.js";
import { Click } from "./click.js";
import { troubleInWords } from "../player/sounding.js";
import { ASKING, REFUSED, hearsKits, listenToKeys, listenToMidi, listenToPads } from "./inputs.js";
import { forgetLatency, keepLatency, measuredOf } from "./latency.js";
import { delayOf } from "./recorder.js";

const TAPS = 16;
const TEMPO = 90;
const TOO_LOOSE = 45; // milliseconds of spread that no middle can be trusted with
const root = part(document, "[data-delay]");
const way = one(root, "[data-way]", HTMLSelectElement);
const click = new Click(root.dataset.sounds ?? "", (number) => write("beat", number));
/** @type {import("./recorder.js").HeardClick | null} */
let heard = null;
/** @type {number[]} */
let times = [];

/**
 * @param {string} name
 * @param {string | number} text
 */
function write(name, text) {
  part(root, `[data-${name}]`).textContent = String(text);
}

/** @param {string} words */
const say = (words) => write("status", words);

function tellKept() {
  const measured = measuredOf(way.value);
  part(root, "[data-forget]").hidden = !measured;
  say(measured ? `Measured: ${Math.round(measured.latency)} ms late.` : "Not measured yet.");
}

async function begin() {
  if (click.isRunning) {
    stop();
    tellKept();
    return;
  }
  times = [];
  write("count", 0);
  if (way.value === "web midi" && !(await isKitHeard())) return;
  try {
    heard = await click.start({ tempo: TEMPO, bar: 4, beats: [0, 1, 2, 3] });
  } catch (error) {
    say(troubleInWords(error, "start the click again"));
    return;
  }
  write("begin", "Stop");
  say("Four are counted in, then tap on every click.");
}

async function isKitHeard() {
  say(ASKING);
  try {
    await listenToMidi(hit);
    return true;
  } catch {
    say(REFUSED);
    return false;
  }
}

function stop() {
  click.stop();
  heard = null;
  write("beat", "–");
  write("begin", "Start the click");
}

/** @type {import("./inputs.js").OnHit} */
function hit(time, _key, _velocity, from) {
  if (!heard || from !== way.value || time < heard.start - 300) return;
  times.push(time);
  write("count", times.length);
  if (times.length < TAPS) return;
  const found = delayOf(times, heard);
  stop();
  if (!found) return;
  if (found.spread > TOO_LOOSE) {
    say(`The taps lie too far apart (${Math.round(found.spread)} ms) to measure by. Try once more, with the click.`);
    return;
  }
  keepLatency(way.value, found);
  tellKept();
}

part(root, "[data-begin]").addEventListener("click", begin);
part(root, "[data-forget]").addEventListener("click", () => {
  forgetLatency(way.value);
  tellKept();
});
way.addEventListener("change", tellKept);
listenToPads(root, hit);
listenToKeys(root, hit, () => click.isRunning);
addEventListener("pagehide", () => click.stop());
if (!hearsKits()) {
  one(way, "[value='web midi']", HTMLOptionElement).remove();
  part(root, "[data-no-kit]").hidden = false;
}
root.hidden = false;
tellKept();
