// Learn a kit: each drum is hit once, and its key goes into the list below.
import { listenToMidi } from "./inputs.js";

const form = document.querySelector("[data-kit-map]");
const part = (name) => form.querySelector(`[data-${name}]`);
const [begin, skip] = [part("begin"), part("skip")];
const surfaces = begin.dataset.surfaces.split("|");
let at = -1;

function say(words) {
  part("said").textContent = words;
}

function ask(next) {
  at = next;
  const done = at >= surfaces.length;
  part("wanted").textContent = done ? "" : surfaces[at];
  skip.hidden = done;
  if (done) {
    at = -1;
    say("All shown. Keep it below.");
    begin.textContent = "Begin again";
    begin.hidden = false;
  }
}

function hit(_time, key) {
  if (at < 0) return;
  const surface = surfaces[at];
  choiceFor(key).value = surface;
  say(`Key ${key} is the ${surface}.`);
  ask(at + 1);
}

// The list grows where a kit sends a key that no kit is known to send.
function choiceFor(key) {
  const known = form.elements.namedItem(`key-${key}`);
  if (known) return known;
  const pattern = form.querySelector("[data-keys] .key");
  const made = pattern.cloneNode(true);
  const [label, select] = [made.querySelector("label"), made.querySelector("select")];
  label.textContent = `Key ${key}`;
  label.htmlFor = `id_key-${key}`;
  Object.assign(select, { id: `id_key-${key}`, name: `key-${key}` });
  made.querySelector(".field-error")?.remove();
  part("keys").append(made);
  return select;
}

begin.addEventListener("click", async () => {
  try {
    const names = await listenToMidi(hit, (now) => say(now.length ? `Listening to ${now.join(", ")}.` : "The kit is gone. Plug it in again."));
    say(names.length ? `Listening to ${names.join(", ")}. Hit it once.` : "No kit is connected yet. Plug it in, then hit it once.");
  } catch {
    say("The browser does not let us listen to MIDI. Allow it, or choose below by hand.");
    return;
  }
  begin.hidden = true;
  ask(0);
});
skip.addEventListener("click", () => ask(at + 1));
if (navigator.requestMIDIAccess) part("learn").hidden = false;
