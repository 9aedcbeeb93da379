// Learn a kit: each drum is hit once, and its key goes into the list below.
import { one, part } from "../site/dom.js";
import { ASKING, hearsKits, listenToMidi } from "./inputs.js";

const form = one(document, "[data-kit-map]", HTMLFormElement);
const [begin, skip] = [part(form, "[data-begin]"), part(form, "[data-skip]")];
const surfaces = begin.dataset.surfaces?.split("|") ?? [];
const called = begin.dataset.called?.split("|") ?? surfaces; // as drummers call them
let at = -1;

/** @param {string} words */
function say(words) {
  part(form, "[data-message]").textContent = words;
}

/** @param {number} next the number of the surface that is asked for */
function ask(next) {
  at = next;
  const done = at >= surfaces.length;
  part(form, "[data-wanted]").textContent = done ? "" : called[at];
  skip.hidden = done;
  if (done) {
    at = -1;
    say("All shown. Keep it below.");
    begin.textContent = "Begin again";
    begin.hidden = false;
  }
}

/** @type {import("./inputs.js").OnHit} */
function hit(_time, key) {
  if (at < 0) return;
  choiceFor(key).value = surfaces[at];
  say(`Key ${key}: ${called[at]}.`);
  ask(at + 1);
}

/** The list grows where a kit sends a key that no kit is known to send. @param {number} key */
function choiceFor(key) {
  const known = form.elements.namedItem(`key-${key}`);
  if (known instanceof HTMLSelectElement) return known;
  const made = /** @type {HTMLElement} */ (part(form, "[data-keys] .key").cloneNode(true));
  const [label, select] = [one(made, "label", HTMLLabelElement), one(made, "select", HTMLSelectElement)];
  label.textContent = `Key ${key}`;
  label.htmlFor = `id_key-${key}`;
  Object.assign(select, { id: `id_key-${key}`, name: `key-${key}` });
  made.querySelector(".field-error")?.remove();
  part(form, "[data-keys]").append(made);
  return select;
}

begin.addEventListener("click", async () => {
  say(ASKING);
  try {
    const names = await listenToMidi(hit, (now) => say(now.length ? `Listening to ${now.join(", ")}.` : "The kit is gone. Plug it in again."));
    say(names.length ? `Listening to ${names.join(", ")}. Hit it once.` : "No kit is connected yet. Plug it in, then hit it once.");
  } catch {
    say("The browser does not let this page hear a kit. Connect the kit, allow it in the browser, then ask again; or choose below by hand.");
    return;
  }
  begin.hidden = true;
  ask(0);
});
skip.addEventListener("click", () => ask(at + 1));
part(form, "[data-learn]").hidden = false;
if (!hearsKits()) {
  one(form, "[data-begin]", HTMLButtonElement).disabled = true;
  say("This browser cannot hear an electronic kit. Choose below by hand.");
}
