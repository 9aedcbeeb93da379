// The page that runs through the day's plan: templates/assignments/play.html.
import { Awake } from "../player/wake_lock.js";
import { jsonOf, part } from "../site/dom.js";
import { Player } from "../player/player.js";
import { log } from "./run_log.js";
import { Review } from "./run_review.js";
import { Run } from "./practice_run.js";
import { Screen } from "./run_screen.js";

/** @typedef {import("./run_log.js").LogEntry} LogEntry */
/** @typedef {import("./practice_run.js").PlayedItem} PlayedItem */

const LEAST = 0.1; // minutes
const root = document.querySelector("[data-run]");

if (root instanceof HTMLElement) start(root, jsonOf("run"));

/**
 * @param {HTMLElement} screen
 * @param {import("./practice_run.js").Plan} plan
 */
function start(screen, plan) {
  const { sounds = "", variations = "" } = screen.dataset;
  const player = new Player({ sounds });
  const run = new Run(player, plan);
  new Screen(screen, run, player);
  const awake = new Awake(() => run.state === "playing" || run.state === "between");
  /** @type {import("./run_review.js").Logged[]} */
  const played = [];
  run.on("played", (through) => {
    const entry = entryOf(through);
    played.push({ item: through.item, entry });
    log(entry, through.item.name);
  });
  run.on("state", ({ state }) => {
    awake.check();
    if (state === "over") new Review(part(document, "[data-run-review]"), played, variations);
  });
  listenForKeys(run);
}

/**
 * @param {PlayedItem} played
 * @returns {LogEntry}
 */
function entryOf({ item, loops, seconds }) {
  return {
    id: newId(),
    variation: item.variation,
    minutes: Math.max(LEAST, Math.round(seconds / 6) / 10),
    tempo: item.tempo,
    loops: loops || null,
    recheck: item.recheck,
  };
}

// `crypto.randomUUID` is there on secure pages alone, and some studios run on their own network.
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

/** @param {import("./practice_run.js").Run} run */
function listenForKeys(run) {
  addEventListener("keydown", (event) => {
    const { key } = event;
    const target = event.target instanceof Element ? event.target : null;
    if (event.ctrlKey || event.metaKey || event.altKey || run.state === "over") return;
    if (target?.closest("input, select, textarea, summary, a")) return;
    if (key === " " && !target?.closest("button")) {
      event.preventDefault();
      if (!event.repeat) run.toggle();
    } else if (key === "ArrowRight") {
      event.preventDefault();
      if (!event.repeat) run.skip();
    }
  });
}
