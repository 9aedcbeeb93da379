// The page that records a take: count in, catch strokes, send them, show what came of it.
import { sendTake } from "../offline/later_requests.js";
import { jsonOf, one, part } from "../site/dom.js";
import { troubleInWords } from "../player/sounding.js";
import { Click } from "./click.js";
import { ASKING, REFUSED, hearsKits, listenToKeys, listenToMidi, listenToPads } from "./inputs.js";
import { latencyOf } from "./latency.js";
import { Recorder } from "./recorder.js";

/** @typedef {import("./click.js").BarShape & {meter: string}} MeterShape */
/** @typedef {import("./recorder.js").TakeEvent} TakeEvent */

/**
 * A take as the server takes it in.
 *
 * @typedef {object} SentTake
 * @property {string} id
 * @property {string} source
 * @property {number | null} variation the fill it is of; null for a free take
 * @property {string} meter
 * @property {number} tempo
 * @property {number} [swing] in percent; left out where it is as it was asked for, or as one plays
 * @property {string} [swing_unit]
 * @property {number | null} latency milliseconds that the device is late
 * @property {TakeEvent[]} events
 * @property {import("./recorder.js").HeardClick | null} click
 * @property {number} seconds
 */

const LONGEST = 600_000; // milliseconds
const root = part(document, "[data-recorder]");
/** @type {{meter: string, variation: number | null, most: number, shapes: Record<string, import("./click.js").BarShape>}} `most` strokes are taken in */
const asked = jsonOf("recording");
const button = one(root, "[data-record]", HTMLButtonElement);
const send = part(root, "[data-send]");
const tempoField = one(root, "[data-tempo]", HTMLInputElement);
const click = new Click(root.dataset.sounds ?? "", (number) => write("beat", number));

/** @type {(Recorder & {meter: string, tempo: number, feel: ReturnType<typeof feel>}) | null} */
let recorder = null;
let source = "pads";
/** @type {SentTake | null} */
let unsent = null;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let limit;
let starting = false;

/**
 * @param {string} name
 * @param {string | number} text
 */
function write(name, text) {
  part(root, `[data-${name}]`).textContent = String(text);
}

/** @param {string} words */
const say = (words) => write("status", words);

function tempo() {
  const typed = Number(tempoField.value);
  return typed >= 30 && typed <= 240 ? Math.round(typed) : null;
}

/** In a free take the meter is chosen here. @returns {MeterShape} */
function shape() {
  const choice = root.querySelector("[data-meter]");
  const meter = choice instanceof HTMLSelectElement ? choice.value : asked.meter;
  return { meter, ...asked.shapes[meter] };
}

/** What a free take is said to have. @returns {{swing?: number, swing_unit?: string}} */
function feel() {
  const choice = root.querySelector("[data-feel]");
  if (!(choice instanceof HTMLSelectElement) || !choice.value) return {};
  const [swing, unit] = choice.value.split(" ");
  return { swing: Number(swing), swing_unit: unit };
}

async function begin() {
  const wanted = tempo();
  if (wanted === null) {
    say("Give a tempo from 30 to 240 beats a minute, such as 88.");
    tempoField.focus();
    return;
  }
  starting = true;
  const { meter, bar, beats } = shape();
  let heard = null;
  if (one(root, "[data-click]", HTMLInputElement).checked) {
    try {
      heard = await click.start({ tempo: wanted, bar, beats });
    } catch (error) {
      starting = false;
      say(troubleInWords(error, "press record again, or switch the click off"));
      return;
    }
  }
  recorder = Object.assign(new Recorder(performance.now(), heard), { meter, tempo: wanted, feel: feel() });
  starting = false;
  source = "pads";
  write("count", 0);
  root.dataset.state = "recording";
  scrollTo(0, 0); // what is not needed now leaves the page of a phone
  button.textContent = "Stop";
  send.hidden = true;
  say(heard ? "One bar is counted in, then play." : "Play.");
  limit = setTimeout(end, LONGEST);
}

function end() {
  clearTimeout(limit);
  click.stop();
  write("beat", "–");
  root.dataset.state = "stopped";
  button.textContent = "Record";
  const caught = recorder;
  recorder = null;
  if (!caught?.events.length) {
    say("No stroke was caught. Press record and tap the pads, their keys, or your kit.");
    return;
  }
  unsent = {
    id: newId(),
    source,
    variation: asked.variation,
    meter: caught.meter,
    tempo: caught.tempo,
    ...caught.feel,
    latency: caught.click ? latencyOf(source) : null,
    ...caught.take(performance.now()),
  };
  sendIt();
}

// Outside a secure page there is no randomUUID; random values there are everywhere.
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

async function sendIt() {
  if (!unsent) return;
  say("Sending …");
  send.hidden = true;
  button.disabled = true;
  const { answer, isKept } = await sendTake(root.dataset.address ?? "", unsent);
  button.disabled = false;
  if (answer && answer.status < 400) {
    unsent = null;
    location.assign(answer.body.url);
    return;
  }
  if (isKept) {
    unsent = null;
    say("Kept on this device. It is sent by itself when the network returns, and is then among your takes.");
    return;
  }
  say(answer
    ? `It was not taken: ${wordsOf(answer.body) || `the server answered ${answer.status}`}. Your strokes are still here.`
    : "There is no network now. Your strokes are still here: send them again when it is back.");
  send.hidden = false;
}

/**
 * What the server found wrong, by field.
 *
 * @param {Record<string, string | {message: string} | (string | {message: string})[]>} body
 */
function wordsOf(body) {
  return Object.values(body).flat().map((wrong) => (typeof wrong === "string" ? wrong : wrong.message)).join(" ").replace(/\.$/, "");
}

/** @type {import("./inputs.js").OnHit} */
function hit(time, key, velocity, from) {
  if (!recorder?.hit(time, key, velocity)) return;
  source = from === "web midi" ? from : source;
  write("count", recorder.events.length);
  if (recorder.events.length === asked.most) end();
}

button.addEventListener("click", () => {
  if (recorder) end();
  else if (!starting) begin();
});
send.addEventListener("click", sendIt);
listenToPads(part(root, "[data-pads]"), hit);
listenToKeys(root, hit, () => recorder !== null);
addEventListener("beforeunload", (event) => {
  if (unsent || recorder?.events.length) event.preventDefault();
});
addEventListener("pagehide", () => click.stop());

const midi = part(root, "[data-midi]");
if (hearsKits()) midi.hidden = false;
else write("midi-message", "Tap the pads or their keys. This browser cannot hear an electronic kit: of one, send a MIDI file.");
midi.addEventListener("click", async () => {
  /** @param {string[]} names */
  const tell = (names) => {
    write("midi-message", names.length
      ? `Listening to ${names.join(", ")}. Pads and keys work too.`
      : "No electronic kit is connected. Plug it in: it is found by itself.");
  };
  write("midi-message", ASKING);
  try {
    tell(await listenToMidi(hit, tell));
    midi.hidden = true;
  } catch {
    write("midi-message", REFUSED);
  }
});
root.hidden = false;
