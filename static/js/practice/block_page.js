// The block as a page of bars: heard once, with the bar marked that sounds.
import { every, jsonOf, one, part } from "../site/dom.js";
import { Player } from "../player/player.js";

const button = one(document, "[data-block-play]", HTMLButtonElement);
const status = part(document, "[data-block-status]");
const bars = every(document, "[data-block-bar]", HTMLElement);
const player = new Player({ sounds: button.dataset.sounds ?? "" });

/** @param {HTMLElement | undefined} bar */
function mark(bar) {
  for (const other of bars) other.toggleAttribute("aria-current", other === bar);
  bar?.scrollIntoView({ block: "nearest" });
}

/** @param {import("../player/schedule.js").BarDetail} bar */
function sounding({ kind, number }) {
  if (kind === "count-in") return undefined;
  if (kind === "fill") return bars.find(({ dataset }) => dataset.blockKind === "fill");
  return bars.find(({ dataset }) => Number(dataset.blockBar) === number);
}

player.load(jsonOf("playable"), { loops: 1 });
player.on("bar", (bar) => mark(sounding(bar)));
player.on("state", ({ state }) => {
  button.textContent = state === "playing" || state === "loading" ? "Stop" : "Hear the block";
  if (state === "playing") status.textContent = "";
  if (state === "stopped") mark(undefined);
});
player.on("trouble", () => (status.textContent = "The sounds did not come. Check the network, then try again."));
button.addEventListener("click", () => (player.state === "stopped" ? player.start() : player.stop()));
button.hidden = false;
