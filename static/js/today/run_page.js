// The page that runs through the day's plan: templates/assignments/play.html.
import { Awake } from "../player/wake_lock.js";
import { Player } from "../player/player.js";
import { log } from "./run_log.js";
import { Review } from "./run_review.js";
import { Run } from "./practice_run.js";
import { Screen } from "./run_screen.js";

const LEAST = 0.1; // minutes
const root = document.querySelector("[data-run]");

if (root) start(JSON.parse(document.getElementById("run").textContent));

function start(plan) {
  const { sounds, variations } = root.dataset;
  const player = new Player({ sounds });
  const run = new Run(player, plan);
  new Screen(root, run, player);
  const awake = new Awake(() => run.state === "playing" || run.state === "between");
  const played = [];
  run.addEventListener("played", ({ detail }) => {
    const entry = entryOf(detail);
    played.push({ item: detail.item, entry });
    log(entry, detail.item.name);
  });
  run.addEventListener("state", ({ detail }) => {
    awake.check();
    if (detail.state === "over") new Review(document.querySelector("[data-run-review]"), played, variations);
  });
  listenForKeys(run);
}

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

function listenForKeys(run) {
  addEventListener("keydown", (event) => {
    const { target, key } = event;
    if (event.ctrlKey || event.metaKey || event.altKey || run.state === "over") return;
    if (target.closest?.("input, select, textarea, summary, a")) return;
    if (key === " " && !target.closest?.("button")) {
      event.preventDefault();
      if (!event.repeat) run.toggle();
    } else if (key === "ArrowRight") {
      event.preventDefault();
      if (!event.repeat) run.skip();
    }
  });
}
