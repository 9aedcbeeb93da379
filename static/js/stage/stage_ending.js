// Once playing is over: what was played and saved, and how it came out, by one touch.
import { master, sayOf } from "../offline/later_requests.js";
import { around, copyOf, every, one, part } from "../site/dom.js";
import { verdicts } from "./stage_verdicts.js";

/** @typedef {import("./stage_verdicts.js").Logged} Logged */
/** @typedef {{run: import("./practice_run.js").Run, goOn: () => void, close: () => Promise<void>}} Asker */

const WORDS = new Map([["all", "All clean"], ["some", "Some clean"], ["none", "Not yet"]]);
const REFUSED = "This was not taken. Your practice is kept: look at Change.";
/** How many of so many times through an answer says were clean. @type {Record<string, (loops: number) => number>} */
const CLEAN = { all: (loops) => loops, some: (loops) => Math.floor(loops / 2), none: () => 0 };

export class Ending {
  /** @type {Logged[]} */
  #played = [];

  /**
   * @param {HTMLElement} root
   * @param {Asker} stage
   */
  constructor(root, stage) {
    this.root = root;
    this.stage = stage;
    this.panel = this.#part("ending");
    this.panel.addEventListener("click", (event) => {
      const button = around(event, "[data-stage-answer]", HTMLButtonElement);
      if (button?.dataset.stageAnswer) this.answer(button.dataset.stageAnswer);
    });
    this.#part("go-on").addEventListener("click", () => stage.goOn());
    this.#part("hurts").addEventListener("click", () => this.#hurt());
    const today = one(root, "[data-stage-today]", HTMLAnchorElement);
    for (const link of [today, one(root, "[data-stage-change]", HTMLAnchorElement)]) {
      link.addEventListener("click", (event) => {
        event.preventDefault();
        this.#leaveFor(link.href);
      });
    }
  }

  get isAsking() {
    return this.#played.length > 0;
  }

  /**
   * @param {import("./practice_run.js").PlayedItem} through
   * @param {import("./run_log.js").LogEntry} entry
   */
  take({ item }, entry) {
    this.#played.push({ item, entry });
  }

  /** @param {number} tried seconds that were played and not saved */
  show(tried) {
    this.#part("total").textContent = this.#played.length ? this.#total() : `Not saved: ${seconds(tried)}`;
    this.#part("answers").hidden = !this.#asked.length;
    this.#part("small").hidden = !this.#played.length;
    this.#part("hurts-words").hidden = true;
    this.#press(null);
    this.#part("answered").textContent = "";
    this.#part("verdicts").replaceChildren();
    this.panel.hidden = false;
    this.#part("total").focus({ preventScroll: true });
  }

  // Once more: what is played from here on is asked about anew.
  hide() {
    this.panel.hidden = true;
    this.#played = [];
  }

  /** @param {string} which */
  async answer(which) {
    if (this.panel.hidden || !this.#asked.length) return;
    for (const { entry } of this.#asked) entry.clean_loops = CLEAN[which](entry.loops ?? 0);
    this.#press(which);
    this.#part("verdicts").replaceChildren(...verdicts(this.#asked).map((about) => this.#verdict(about)));
    const answers = await Promise.all(this.#asked.map(({ entry: { id, clean_loops } }) => sayOf(id, { clean_loops })));
    this.#part("answered").textContent = isRefused(answers) ? REFUSED : `${WORDS.get(which)}. Saved.`;
  }

  /** What can be asked about: whole times through a fill. */
  get #asked() {
    return this.#played.filter(({ item, entry }) => entry.loops && item.variation !== null && !item.loosening);
  }

  /** "3 of 4 fills, 3 min. Saved. How did it come out?" */
  #total() {
    const fills = new Set(this.#played.map(({ item }) => item.variation)).size;
    const of = new Set(this.stage.run.items.map(({ variation }) => variation)).size;
    const minutes = this.#played.reduce((before, { entry }) => before + entry.minutes, 0);
    const what = of > 1 ? `${fills} of ${of} fills, ` : "";
    return `${what}${Number(minutes.toFixed(1))} min. Saved.${this.#asked.length ? " How did it come out?" : ""}`;
  }

  async #hurt() {
    this.#part("hurts-words").hidden = false;
    this.#part("hurts").setAttribute("aria-pressed", "true");
    const answers = await Promise.all(this.#played.map(({ entry: { id } }) => sayOf(id, { felt: "sore" })));
    this.#part("answered").textContent = isRefused(answers) ? REFUSED : "Noted.";
  }

  /** @param {string | null} which */
  #press(which) {
    for (const button of every(this.panel, "[data-stage-answer]", HTMLButtonElement)) {
      button.setAttribute("aria-pressed", String(button.dataset.stageAnswer === which));
    }
  }

  /** @param {import("./stage_verdicts.js").Verdict} about */
  #verdict({ says, mayMaster, item }) {
    const line = copyOf(this.panel, "[data-stage-verdict]");
    const button = one(line, "[data-master]", HTMLButtonElement);
    part(line, "[data-says]").textContent = says;
    button.hidden = !mayMaster;
    button.addEventListener("click", async () => {
      button.disabled = true;
      const status = await master(`${this.root.dataset.variations}${item.variation}/mastered/`);
      part(line, "[data-says]").textContent = (status ?? 0) >= 400
        ? `${item.name}: this did not work. Mark it on its own page.`
        : `${item.name} is mastered. In a day or two it is played cold, to see whether it holds.`;
      button.hidden = true;
    });
    return line;
  }

  /** @param {string} address */
  async #leaveFor(address) {
    await this.stage.close();
    if (address === location.href.split("#")[0]) location.reload();
    else location.assign(address);
  }

  /** @param {string} name */
  #part(name) {
    return part(this.root, `[data-stage-${name}]`);
  }
}

/** @param {(number | null)[]} answers */
const isRefused = (answers) => answers.some((status) => (status ?? 0) >= 400);

/** @param {number} number */
function seconds(number) {
  const whole = Math.round(number);
  return whole === 1 ? "1 second" : `${whole} seconds`;
}
