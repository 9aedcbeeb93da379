// The player's controls and what they show: templates/assignments/practice/player.html.
//
//   const panel = new Panel(root, player, bar);  // what came of it stands in a bar of the page
//   panel.load(block, figure, settings);  // the engraving to light up; settings of the player
//
//   panel.tell({ text: "Saved: …", undo: true });  // what came of what was played
//
// Dispatches "undo" on `root` when that is to be undone.
import { around, every, part } from "../site/dom.js";
import { askHere } from "./asked_here.js";
import { Awake } from "./wake_lock.js";
import { blockInWords, startsOn, unitInWords } from "./block_words.js";
import { feelOf } from "./feel.js";
import { listenForKeys } from "./shortcuts.js";
import { Light } from "./note_light.js";
import { troubleInWords } from "./sounding.js";

/** @typedef {import("./schedule.js").Block} Block */
/** @typedef {import("./schedule.js").Count} Count */
/** @typedef {import("./schedule.js").Settings} Settings */
/** @typedef {import("./schedule.js").BarDetail} BarDetail */

const NUMBERS = ["loops", "countIn", "ladderBy", "ladderEvery"];
const PLAY = "Play on this page";
const VERBS = { stopped: PLAY, paused: PLAY, loading: "Loading", playing: "Stop" };

export class Panel {
  /**
   * @param {HTMLElement} root
   * @param {import("./player.js").Player} player
   * @param {HTMLElement} bar that has the status and Undo
   */
  constructor(root, player, bar) {
    this.root = root;
    this.bar = bar;
    this.player = player;
    this.light = new Light(null);
    this.awake = new Awake(() => player.state === "playing");
    /** @type {Block | null} */
    this.block = null;
    this.#listen();
    listenForKeys(root, player, () => this.toggle());
    root.hidden = false;
  }

  /**
   * @param {Block} block
   * @param {Element | null} figure the engraving to light up
   * @param {Partial<Settings>} settings
   */
  load(block, figure, settings = {}) {
    this.block = block;
    this.light = new Light(figure);
    this.#offerGrooves(block);
    this.#offerFeels(block);
    this.#writeCounts(block);
    this.player.load(block, settings);
    this.#rest();
  }

  toggle() {
    if (this.player.state === "stopped" || this.player.state === "paused") this.player.start();
    else this.player.stop();
  }

  // --- what is touched -----------------------------------------------------------------

  #listen() {
    this.root.addEventListener("click", (event) => this.#touched(event));
    this.#part("undo").addEventListener("click", () => this.root.dispatchEvent(new CustomEvent("undo")));
    this.root.addEventListener("change", (event) => {
      const select = around(event, "[data-player-set]", HTMLSelectElement);
      const name = select?.dataset.playerSet;
      if (name) askHere({ [name]: NUMBERS.includes(name) ? +select.value : select.value });
    });
    this.player.on("state", ({ state }) => this.#showState(state));
    this.player.on("settings", (settings) => this.#showSettings(settings));
    this.player.on("bar", (bar) => this.#showBar(bar));
    this.player.on("beat", ({ number }) => this.#write("beat", number));
    this.player.on("count", ({ index }) => this.#lightCount(index));
    this.player.on("note", ({ note }) => this.light.on(note));
    this.player.on("loop", () => this.#showTempo());
    this.player.on("trouble", ({ error }) => this.#write("status", troubleInWords(error, "press Play on this page again")));
  }

  /** @param {MouseEvent} event */
  #touched(event) {
    const button = around(event, "button", HTMLButtonElement);
    if (!button) return;
    const { playerTempoBy, playerPlay } = button.dataset;
    const playerToggle = toggleOf(button);
    if (playerPlay !== undefined) this.toggle();
    if (playerTempoBy) this.player.set({ tempo: this.player.base + Number(playerTempoBy) });
    if (playerToggle) askHere({ [playerToggle]: !this.player.settings[playerToggle] });
    // A finger leaves no focus behind, so that the space bar starts and stops.
    if (event.detail > 0) button.blur();
  }

  // --- what is shown -------------------------------------------------------------------

  /** @param {import("./player.js").PlayerState} state */
  #showState(state) {
    const play = this.#part("play");
    this.root.dataset.state = state;
    play.setAttribute("aria-busy", String(state === "loading"));
    this.#write("verb", VERBS[state]);
    if (state === "playing") {
      this.tell({ text: "", undo: false });
      this.light.figure?.scrollIntoView({ block: "nearest" });
    }
    if (state === "stopped" || state === "paused") this.#rest();
    this.awake.check();
  }

  #rest() {
    this.light.off();
    this.#lightCount(-1);
    this.#write("beat", "–");
    this.#write("next", "–");
    this.#write("bar", this.block ? blockInWords(this.block, this.player.settings.fillAlone) : "");
    this.#write("loop", "");
  }

  /** @param {{text: string, undo: boolean}} line what came of it, and whether it can be undone */
  tell({ text, undo }) {
    this.#write("status", text);
    this.#part("undo").hidden = !undo;
  }

  /** @param {Settings} settings */
  #showSettings(settings) {
    for (const control of every(this.root, "[data-player-set]", HTMLSelectElement)) {
      const name = /** @type {keyof Settings} */ (control.dataset.playerSet);
      const value = String(this.#shown(name, settings));
      if (control.value !== value) control.value = value;
    }
    for (const button of every(this.root, "[data-player-toggle]", HTMLButtonElement)) {
      const name = toggleOf(button);
      if (name) button.setAttribute("aria-pressed", String(settings[name]));
    }
    if (this.player.state !== "playing") this.#write("bar", this.block ? blockInWords(this.block, this.player.settings.fillAlone) : "");
    this.#showTempo();
  }

  /**
   * @param {keyof Settings} name
   * @param {Settings} settings
   */
  #shown(name, settings) {
    if (name === "feel" && this.block) return feelOf(this.block, settings);
    return settings[name] ?? this.block?.groove;
  }

  #showTempo() {
    const { ladderBy, ladderEvery, slow } = this.player.settings;
    this.#write("tempo", tidy(this.player.tempo));
    this.#write("unit", slow ? `half of ${this.player.base}` : unitInWords(this.block, this.player.tempo));
    const next = this.player.base + ladderBy;
    this.#write("step", ladderBy ? `Then ${next}, after ${ladderEvery === 1 ? "once" : `${ladderEvery} times`} through` : "");
  }

  /** @param {BarDetail} bar */
  #showBar({ kind, number, of, loop, next }) {
    const from = this.block && !this.player.settings.fillAlone ? startsOn(this.block) : "";
    const fill = from ? `The fill, from ${from}` : "The fill";
    const names = { "count-in": "Count-in", groove: `Bar ${number} of ${of}`, fill };
    this.#write("bar", names[kind]);
    const { loops } = this.player.settings;
    this.#write("loop", kind === "count-in" ? "" : `Time ${loop + 1}${loops ? ` of ${loops}` : ""}`);
    this.#write("next", nextInWords(kind, number, next));
    if (kind === "fill") return;
    this.light.off();
    this.#lightCount(-1);
  }

  /** @param {Block} block */
  #offerGrooves({ grooves }) {
    const options = Object.keys(grooves).map((name) => new Option(name.charAt(0).toUpperCase() + name.slice(1), name));
    this.#part("set", "groove").replaceChildren(...options);
  }

  // A page kept on the device may be older, and have no place to choose one.
  /** @param {Block} block */
  #offerFeels({ feels = {} }) {
    const options = Object.entries(feels).map(([name, { words }]) => new Option(words, name));
    this.root.querySelector('[data-player-set="feel"]')?.replaceChildren(...options);
  }

  /** @param {Block} block */
  #writeCounts({ counts, beats, bar, fillBars = 1 }) {
    const starts = Array.from({ length: fillBars }, (_, number) => beats.map(({ onset }) => number * bar + onset)).flat();
    const groups = starts.map((start, index) => {
      const end = starts[index + 1] ?? Infinity;
      const inside = counts.filter(({ onset }) => start <= onset && onset < end);
      const line = index && index % beats.length === 0 ? [element("span", "player-count silent bar-line", "|")] : [];
      return element("span", "player-group", ...line, ...inside.map(count));
    });
    this.#part("counts").replaceChildren(...groups);
  }

  /** @param {number} index of the count that is said now; -1 for none */
  #lightCount(index) {
    const all = this.root.querySelectorAll(".player-count:not(.bar-line)");
    all.forEach((one, number) => one.classList.toggle("lit", number === index));
  }

  /**
   * @param {string} name
   * @param {string} [value]
   */
  #part(name, value) {
    const place = name === "status" || name === "undo" ? this.bar : this.root;
    return part(place, value ? `[data-player-${name}="${value}"]` : `[data-player-${name}]`);
  }

  /**
   * @param {string} name
   * @param {string | number} text
   */
  #write(name, text) {
    this.#part(name).textContent = String(text);
  }
}

/** The setting that a button switches on and off. @param {HTMLButtonElement} button */
function toggleOf(button) {
  return /** @type {"slow" | "fillAlone" | "muteFill" | undefined} */ (button.dataset.playerToggle);
}

/**
 * @param {BarDetail["kind"]} kind
 * @param {number} number
 * @param {BarDetail["next"]} next
 */
function nextInWords(kind, number, next) {
  if (next === "fill") return "fill";
  if (next === "end") return "end";
  if (next === "count-in") return "count-in";
  return kind === "groove" ? number + 1 : 1;
}

/** @param {number} tempo */
function tidy(tempo) {
  return Math.round(tempo * 10) / 10;
}

/** @param {Count} count */
function count({ label, struck }) {
  if (struck) return element("span", "player-count", label);
  return element("span", "player-count silent", `(${label})`);
}

/**
 * @param {string} name
 * @param {string} className
 * @param {...(Node | string)} children
 */
function element(name, className, ...children) {
  const made = document.createElement(name);
  made.className = className;
  made.append(...children);
  return made;
}
