// "Start with a groove", where there are no fills yet: it goes round until it is stopped.
import { every, part } from "../site/dom.js";
import { Player } from "../player/player.js";

/** @param {HTMLButtonElement} button */
function bind(button) {
  const player = new Player({ sounds: button.dataset.sounds ?? "" });
  const verb = part(button, "[data-groove-verb]");
  const before = verb.textContent;
  player.on("state", ({ state }) => (verb.textContent = state === "stopped" ? before : "Stop"));
  player.on("trouble", () => (verb.textContent = "No sounds came. Try again"));
  button.addEventListener("click", () => {
    if (player.state !== "stopped") return player.stop();
    player.load(JSON.parse(button.dataset.groove ?? ""), { loops: 0, countIn: 1, click: "beats", fillAlone: true });
    return player.start();
  });
}

every(document, "button[data-groove]", HTMLButtonElement).forEach(bind);
