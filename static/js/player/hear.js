// "Hear" beside an engraving: the fill once, alone, its notes lit; a second touch stops it.
import { Light } from "./note_light.js";
import { Player } from "./player.js";

const ALONE = { loops: 1, countIn: 0, click: "off", fillAlone: true };

let player = null;
let button = null;
let light = new Light(null);

// The smallest part of the page around the button that holds an engraving, there or on its way.
function engravingBeside(element) {
  const parent = element.parentElement;
  return !parent || parent.querySelector(".notation") ? parent : engravingBeside(parent);
}

function show(isPlaying) {
  button.querySelector("[data-hear-verb]").textContent = isPlaying ? "Stop" : "Hear";
  if (!isPlaying) light.off();
}

function listen() {
  player.addEventListener("note", ({ detail }) => light.on(detail.note));
  player.addEventListener("state", ({ detail }) => show(["playing", "loading"].includes(detail.state)));
  player.addEventListener("trouble", () => {
    button.querySelector("[data-hear-verb]").textContent = "No sounds came. Try again";
  });
}

function hear(touched) {
  const isAgain = touched === button && player.state !== "stopped";
  player?.stop();
  if (isAgain) return;
  button = touched;
  if (!player) {
    player = new Player({ sounds: button.dataset.sounds });
    listen();
  }
  light = new Light(engravingBeside(button));
  player.load(JSON.parse(button.dataset.hear), ALONE);
  player.start();
}

document.addEventListener("click", ({ target }) => {
  const touched = target.closest("button[data-hear]");
  if (touched) hear(touched);
});
// What is swapped out falls silent.
document.body.addEventListener("htmx:afterSwap", () => {
  if (button && !button.isConnected) player.stop();
});
