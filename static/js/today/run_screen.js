// What is seen of a run: templates/assignments/play.html.
import { Light } from "../player/note_light.js";

const VERBS = { ready: "Play", paused: "Go on", playing: "Pause", between: "Pause", over: "Play" };

export class Screen {
  constructor(root, run, player) {
    this.root = root;
    this.run = run;
    this.player = player;
    this.light = new Light(null);
    root.querySelector("[data-run-play]").addEventListener("click", () => run.toggle());
    root.querySelector("[data-run-skip]").addEventListener("click", () => run.skip());
    root.querySelector("[data-run-stop]").addEventListener("click", () => run.finish());
    run.addEventListener("state", ({ detail }) => this.show(detail));
    const shown = {
      beat: ({ number }) => this.#write("beat", number),
      note: ({ note }) => this.light.on(note),
      bar: (bar) => this.#showBar(bar),
      trouble: () => this.say("The sounds did not come. Check the network, then press play again."),
      state: ({ state }) => this.#showPlayer(state),
    };
    for (const [type, handle] of Object.entries(shown)) {
      player.addEventListener(type, ({ detail }) => handle(detail));
    }
    root.hidden = false;
    this.show({ state: run.state, index: run.index, wait: 0 });
  }

  say(text) {
    const trouble = this.root.querySelector("[data-run-trouble]");
    trouble.hidden = !text;
    trouble.textContent = text;
  }

  show({ state, index, wait }) {
    this.root.dataset.state = state;
    this.root.hidden = state === "over";
    if (state === "over") return;
    const { run } = this;
    this.#write("verb", VERBS[state]);
    this.#write("title", state === "between" ? `Next, in ${wait}: ${run.item.title}` : run.item.title);
    this.#write("name", run.item.name);
    this.#write("tempo", run.item.tempo);
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

  #showBar({ kind, number, of, loop }) {
    const names = { "count-in": "count-in", groove: `bar ${number} of ${of}`, fill: "the fill" };
    this.#write("bar", names[kind]);
    this.#write("loop", `${loop + 1}/${this.run.item.loops}`);
    if (kind !== "fill") this.light.off();
  }

  #showPlayer(state) {
    this.root.querySelector("[data-run-play]").setAttribute("aria-busy", String(state === "loading"));
    if (state === "playing") this.say("");
  }

  #showEngraving() {
    for (const figure of this.root.querySelectorAll("[data-engraving]")) {
      const isThis = figure.dataset.engraving === this.run.item.notation;
      if (isThis) this.light.figure = figure;
      figure.hidden = !isThis || this.run.item.grooveAlone;
    }
  }

  #write(name, text) {
    const part = this.root.querySelector(`[data-run-${name}]`);
    if (part.textContent !== String(text)) part.textContent = text;
  }
}
