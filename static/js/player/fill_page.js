// A fill's page: its block and its engraving in the player of the page, which saves what it counted.
// It plays at the page's tempo; while it does, the one button at the foot of the page stops it.
import { fillTempo } from "../practice/fill_tempo.js";
import { KeptPractice } from "../practice/kept_practice.js";
import { jsonOf, one, part } from "../site/dom.js";
import { Panel } from "./panel.js";
import { Player } from "./player.js";

const page = part(document, "[data-fill]");
const fold = one(page, "[data-player-fold]", HTMLDetailsElement);
const root = part(fold, "[data-player]");
const bar = part(page, ".main-bar");
const stage = one(bar, "[data-stage-open]", HTMLButtonElement);
const stop = one(bar, "[data-player-stop]", HTMLButtonElement);
/** @type {Player | null} */
let player = null;

// Only once it is opened: until then no key is the player's.
function open() {
  const made = new Player({ sounds: root.dataset.sounds ?? "" });
  const panel = new Panel(root, made, bar);
  const { fill, fillName = "" } = page.dataset;
  const kept = new KeptPractice({ variation: Number(fill), name: fillName });
  panel.load(jsonOf("playable"), document.querySelector("[data-player-notation]"), { tempo: fillTempo.now });
  fillTempo.on("change", ({ tempo }) => made.set({ tempo }));
  made.on("settings", ({ tempo }) => fillTempo.set(tempo));
  made.on("loop", () => kept.played({ ...made.played, playing: true }));
  made.on("state", ({ state }) => {
    showStop(state === "playing" || state === "loading");
    if (state === "stopped" || state === "paused") kept.played(made.played);
  });
  kept.on("line", (line) => panel.tell(line));
  root.addEventListener("undo", () => kept.undo());
  stop.addEventListener("click", ({ detail }) => {
    if (detail > 0) stop.blur();
    made.stop();
  });
  return made;
}

/** @param {boolean} is */
function showStop(is) {
  const hadFocus = document.activeElement === stop;
  stop.hidden = !is;
  stage.hidden = is;
  if (!is && hadFocus) part(root, "[data-player-play]").focus({ preventScroll: true });
}

fold.addEventListener("toggle", () => {
  if (fold.open) player ??= open();
  else player?.stop();
});
// A finger leaves no focus behind, so that the space bar starts and stops.
fold.addEventListener("click", ({ detail, target }) => {
  if (detail > 0 && target instanceof HTMLElement && target.matches("summary")) target.blur();
});
if (fold.open) player = open(); // before this script came
