// A fill's page: its block and its engraving in the player of the page, which saves what it counted.
import { KeptPractice } from "../practice/kept_practice.js";
import { jsonOf, one, part } from "../site/dom.js";
import { Panel } from "./panel.js";
import { Player } from "./player.js";

const page = part(document, "[data-fill]");
const fold = one(page, "[data-player-fold]", HTMLDetailsElement);
const root = part(fold, "[data-player]");
/** @type {Player | null} */
let player = null;

// Only once it is opened: until then no key is the player's.
function open() {
  const made = new Player({ sounds: root.dataset.sounds ?? "" });
  const panel = new Panel(root, made);
  const { fill, fillName = "" } = page.dataset;
  const kept = new KeptPractice({ variation: Number(fill), name: fillName });
  panel.load(jsonOf("playable"), document.querySelector("[data-player-notation]"));
  made.on("loop", () => kept.played({ ...made.played, playing: true }));
  made.on("state", ({ state }) => {
    if (state === "stopped" || state === "paused") kept.played(made.played);
  });
  kept.on("line", (line) => panel.tell(line));
  root.addEventListener("undo", () => kept.undo());
  return made;
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
