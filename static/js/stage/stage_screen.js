// What is seen of a run on the stage, and read out: the count-in, a change of fill, the end; not beats.
import { troubleInWords } from "../player/sounding.js";
import { part } from "../site/dom.js";
import { Notation } from "./stage_notation.js";

/** @type {Record<import("./practice_run.js").RunState, string>} */
const VERBS = { ready: "Play", paused: "Go on", playing: "Pause", between: "Pause", over: "Go on" };

export class Screen {
  #said = "";

  /**
   * @param {HTMLElement} root
   * @param {import("./practice_run.js").Run} run
   * @param {import("../player/player.js").Player} player
   * @param {Record<string, import("./stage_notation.js").Shown>} shown
   */
  constructor(root, run, player, shown) {
    this.root = root;
    this.run = run;
    this.player = player;
    this.notation = new Notation(root, shown);
    this.step = 0;
    run.on("state", (state) => this.show(state));
    player.on("beat", ({ number }) => this.#write("beat", number));
    player.on("note", ({ note }) => this.notation.light(note));
    player.on("groove", ({ note }) => this.notation.lightGroove(note));
    player.on("bar", (bar) => this.#showBar(bar));
    player.on("settings", () => this.#showTempo());
    player.on("loop", () => this.#showTempo());
    player.on("trouble", ({ error }) => this.say(troubleInWords(error, "touch Play again")));
    player.on("loading", ({ done, of }) => this.#write("loading", done < of ? `Loading sound, ${done} of ${of}` : ""));
    player.on("state", ({ state }) => this.#showPlayer(state));
  }

  /** @param {number} step smaller or larger */
  begin(step) {
    this.step = step;
    this.notation.begin();
    this.show({ state: this.run.state, index: this.run.index, wait: 0 });
  }

  layOut() {
    this.notation.layOut();
  }

  /** @param {string} text what is the matter, or nothing */
  say(text) {
    const trouble = this.#part("trouble");
    if (trouble.textContent !== text) trouble.textContent = text;
    trouble.hidden = !text;
    this.layOut();
  }

  /** @param {import("./practice_run.js").Shown} shown */
  show({ state, wait }) {
    const { item, next, index } = this.run;
    this.root.dataset.state = state;
    this.root.toggleAttribute("data-playing", state === "playing");
    this.#write("verb", VERBS[state]);
    this.#write("title", state === "between" ? `Next, in ${wait}: ${item.title}` : item.title);
    this.#write("name", item.name);
    this.#write("times", this.#time(1));
    for (const [name, isThere] of /** @type {const} */ ([["next", next], ["back", index > 0]])) {
      this.#part(name).hidden = !isThere || state === "over";
    }
    this.#showTempo();
    if (state === "over") return;
    this.notation.show(String(item.block), item.grooveAlone);
    if (state !== "playing") this.#atRest();
    if (state === "between") this.#read(`Next: ${item.name}, at ${item.tempo}`);
    if (state === "paused") this.#read("Paused");
  }

  /** Of as many as are played: for ever where none are set. @param {number} number */
  #time(number) {
    const { loops } = this.player.settings;
    return loops ? `${number}/${loops}` : String(number);
  }

  #atRest() {
    this.notation.dark();
    this.#write("beat", "–");
    this.#write("bar", "–");
  }

  /** @param {import("../player/schedule.js").BarDetail} bar */
  #showBar({ kind, number, of, loop }) {
    const { item } = this.run;
    if (kind === "count-in" && number === 1) this.#read(`Count-in: ${item.name}, at ${Math.round(this.player.tempo)}`);
    this.#write("bar", kind === "count-in" ? "in" : `${number}/${of}`);
    this.#write("times", this.#time(loop + 1));
    this.notation.bar(kind);
  }

  /** @param {import("../player/player.js").PlayerState} state */
  #showPlayer(state) {
    this.#part("play").setAttribute("aria-busy", String(state === "loading"));
    if (state === "loading") this.#write("verb", "Loading");
    else if (state === "playing") this.#write("verb", VERBS.playing);
    if (state === "playing") this.say("");
    if (state !== "loading") this.#write("loading", "");
  }

  #showTempo() {
    this.#write("tempo", Math.round(this.player.base));
    const { unit = "beats a minute", feel = "" } = this.run.item;
    this.#write("unit", feel ? `${unit}, ${feel}` : unit);
  }

  /** To who hears the page; once. @param {string} text */
  #read(text) {
    if (text === this.#said) return;
    this.#said = text;
    this.#write("said", text);
  }

  /** @param {string} name */
  #part(name) {
    return part(this.root, `[data-stage-${name}]`);
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
