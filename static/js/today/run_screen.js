// What is seen of a run: templates/assignments/play.html.
import { Light } from "../player/note_light.js";
import { every, part } from "../site/dom.js";

/** @type {Record<import("./practice_run.js").RunState, string>} */
const VERBS = { ready: "Play", paused: "Go on", playing: "Pause", between: "Pause", over: "Play" };

export class Screen {
  /**
   * @param {HTMLElement} root
   * @param {import("./practice_run.js").Run} run
   * @param {import("../player/player.js").Player} player
   */
  constructor(root, run, player) {
    this.root = root;
    this.run = run;
    this.player = player;
    this.light = new Light(null);
    this.#part("play").addEventListener("click", () => run.toggle());
    this.#part("skip").addEventListener("click", () => run.skip());
    this.#part("stop").addEventListener("click", () => run.finish());
    run.on("state", (shown) => this.show(shown));
    player.on("beat", ({ number }) => this.#write("beat", number));
    player.on("note", ({ note }) => this.light.on(note));
    player.on("bar", (bar) => this.#showBar(bar));
    player.on("trouble", () => this.say("The sounds did not come. Check the network, then press play again."));
    player.on("state", ({ state }) => this.#showPlayer(state));
    root.hidden = false;
    this.show({ state: run.state, index: run.index, wait: 0 });
  }

  /** @param {string} text what went wrong, or nothing */
  say(text) {
    const trouble = this.#part("trouble");
    trouble.hidden = !text;
    trouble.textContent = text;
  }

  /** @param {import("./practice_run.js").Shown} shown */
  show({ state, index, wait }) {
    this.root.dataset.state = state;
    this.root.hidden = state === "over";
    if (state === "over") return;
    const { run } = this;
    this.#write("verb", VERBS[state]);
    this.#write("title", state === "between" ? `Next, in ${wait}: ${run.item.title}` : run.item.title);
    this.#write("name", run.item.name);
    this.#write("tempo", run.item.tempo);
    // A page kept on the device may be older, and have no place for these.
    this.root.querySelector("[data-run-unit]")?.replaceChildren(run.item.unit ?? "beats a minute");
    this.root.querySelector("[data-run-feel]")?.replaceChildren(run.item.feel ?? "");
    this.#write("next", run.next ? `${run.next.title}, at ${run.next.tempo}` : "That is the last one.");
    if (state !== "playing") this.#atRest();
    this.#showEngraving();
    this.root.querySelectorAll("[data-run-item]").forEach((line, number) => {
      line.classList.toggle("done", run.items[number].done);
      if (number === index) line.setAttribute("aria-current", "step");
      else line.removeAttribute("aria-current");
    });
  }

  #atRest() {
    this.light.off();
    this.#write("beat", "–");
    this.#write("bar", "\u00a0");
    this.#write("loop", `${this.player.played.loops}/${this.run.item.loops}`);
  }

  /** @param {import("../player/schedule.js").BarDetail} bar */
  #showBar({ kind, number, of, loop }) {
    const names = { "count-in": "count-in", groove: `bar ${number} of ${of}`, fill: "the fill" };
    this.#write("bar", names[kind]);
    this.#write("loop", `${loop + 1}/${this.run.item.loops}`);
    if (kind !== "fill") this.light.off();
  }

  /** @param {import("../player/player.js").PlayerState} state */
  #showPlayer(state) {
    this.#part("play").setAttribute("aria-busy", String(state === "loading"));
    if (state === "playing") this.say("");
  }

  #showEngraving() {
    for (const figure of every(this.root, "[data-engraving]", HTMLElement)) {
      const isThis = figure.dataset.engraving === this.run.item.notation;
      if (isThis) this.light.figure = figure;
      figure.hidden = !isThis || this.run.item.grooveAlone;
    }
  }

  /** @param {string} name */
  #part(name) {
    return part(this.root, `[data-run-${name}]`);
  }

  /**
   * @param {string} name
   * @param {string | number} text
   */
  #write(name, text) {
    const place = this.#part(name);
    if (place.textContent !== String(text)) place.textContent = String(text);
  }
}
