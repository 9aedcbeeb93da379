// Once playing is over: what was played and saved, and how it came out, by one touch.
import { master } from "../offline/later_requests.js";
import { minutesOf, timeInWords } from "../practice/kept_words.js";
import { around, copyOf, every, one, part } from "../site/dom.js";
import { Change } from "./stage_change.js";
import { byFill, shared } from "./stage_counts.js";
import { verdicts } from "./stage_verdicts.js";

/** @typedef {import("./practice_run.js").Item} Item */
/** @typedef {import("../practice/kept_practice.js").KeptPractice} KeptPractice */
/** @typedef {{kept: KeptPractice, item: Item, clean: number | null}} Said how much of it was clean */
/** @typedef {{run: import("./practice_run.js").Run, goOn: () => void, close: () => Promise<void>}} Asker */

const WORDS = new Map([["all", "All clean"], ["some", "Some clean"], ["none", "Not yet"]]);
/** How many of so many times through an answer says were clean. @type {Record<string, (loops: number) => number>} */
const CLEAN = { all: (loops) => loops, some: (loops) => Math.floor(loops / 2), none: () => 0 };
const REFUSED = "This was not taken. Your practice is kept: look at My log.";

export class Ending {
  /** What sounded and is kept, each with what it is of. @type {Map<KeptPractice, Item>} */
  #played = new Map();

  /**
   * @param {HTMLElement} root
   * @param {Asker} stage
   */
  constructor(root, stage) {
    this.root = root;
    this.stage = stage;
    this.panel = this.#part("ending");
    this.change = new Change(this.panel);
    this.change.on("said", (said) => this.#correct(said));
    this.panel.addEventListener("click", (event) => {
      const button = around(event, "[data-stage-answer]", HTMLButtonElement);
      if (button?.dataset.stageAnswer) this.answer(button.dataset.stageAnswer);
    });
    this.#part("go-on").addEventListener("click", () => this.leave() && stage.goOn());
    this.#part("hurts").addEventListener("click", () => this.#hurt());
    this.#part("undo").addEventListener("click", () => this.#undo());
    addEventListener("pagehide", () => this.leave());
    for (const name of ["today", "log"]) {
      const link = one(root, `[data-stage-${name}]`, HTMLAnchorElement);
      link.addEventListener("click", (event) => {
        event.preventDefault();
        if (this.leave()) this.#leaveFor(link.href);
      });
    }
  }

  get isAsking() {
    return this.#played.size > 0;
  }

  /**
   * @param {Item} item
   * @param {KeptPractice} kept
   */
  take(item, kept) {
    if (!this.#played.has(kept)) {
      kept.on("line", ({ state }) => {
        if (state === "refused") this.#say(REFUSED);
        else if (state === "saved" && !this.panel.hidden) this.#tellTheWeek();
      });
    }
    this.#played.set(kept, item);
  }

  /** @param {number} tried seconds that were played and not saved */
  show(tried) {
    this.#part("total").textContent = this.isAsking ? this.#total() : `Not saved: ${timeInWords(tried)}`;
    this.#part("answers").hidden = !this.#asked.length;
    for (const button of this.#buttons) button.hidden = !this.#mayBe(button.dataset.stageAnswer ?? "");
    this.#part("small").hidden = !this.isAsking;
    this.#part("hurts-words").hidden = true;
    this.#press(null);
    this.#say("");
    this.#part("verdicts").replaceChildren();
    this.#part("gained").textContent = "";
    this.change.begin(byFill(this.#asked));
    this.panel.hidden = false;
    if (this.isAsking) this.#tellTheWeek();
    this.#part("total").focus({ preventScroll: true });
  }

  // Once more: what is played from here on is asked about anew.
  hide() {
    this.panel.hidden = true;
    this.#played.clear();
  }

  /** @param {string} which */
  answer(which) {
    if (this.panel.hidden || !this.#asked.length || !this.#mayBe(which)) return;
    this.#keep(this.#asked.map(([kept, item]) => ({ kept, item, clean: CLEAN[which](kept.counted.loops) })));
    this.change.follow();
    this.#say(`${WORDS.get(which)}. Saved.`);
  }

  /** Of what was played once, nothing is clean in part. @param {string} which */
  #mayBe(which) {
    return which !== "some" || this.#asked.some(([kept]) => CLEAN[which](kept.counted.loops) > 0);
  }

  get #buttons() {
    return every(this.panel, "[data-stage-answer]", HTMLButtonElement);
  }

  /** What is being typed is kept before the panel is left; false where something is wrong with it. */
  leave() {
    return this.panel.hidden || this.change.leave();
  }

  /** @param {{counts: import("./stage_change.js").Corrected[], note: string}} said */
  #correct({ counts, note }) {
    const all = counts.flatMap(({ fill, clean }) => {
      const each = shared(fill, clean);
      return fill.all.map((kept, place) => ({ kept, item: fill.item, clean: each[place] }));
    });
    // Once, where the teacher reads first.
    const [noted] = this.#asked[0] ?? [...this.#played][0] ?? [];
    if (noted && note !== noted.how.note) noted.answer({ note });
    this.#keep(all);
    this.#say("Changed. Saved.");
  }

  /** @param {Said[]} said */
  #keep(said) {
    for (const { kept, clean } of said) {
      if (clean !== kept.how.clean_loops) kept.answer({ clean_loops: clean });
    }
    this.#press(wordFor(this.#asked.map(([kept]) => kept)));
    const answered = said.flatMap(({ kept: { counted }, item, clean }) => (clean === null ? [] : [{ ...counted, item, clean }]));
    this.#part("verdicts").replaceChildren(...verdicts(answered).map((about) => this.#verdict(about)));
  }

  /** What can be asked about: whole times through a fill. */
  get #asked() {
    return [...this.#played].filter(([kept, item]) => kept.counted.loops && item.variation !== null && !item.loosening);
  }

  /** "3 of 4 fills, 3 min. Saved. How did it come out?" */
  #total() {
    const fills = fillsOf(this.#played.values());
    const of = fillsOf(this.stage.run.items);
    const seconds = [...this.#played.keys()].reduce((before, { counted }) => before + counted.seconds, 0);
    const what = of > 1 ? `${fills} of ${of} fills, ` : "";
    const saved = navigator.onLine ? "Saved." : "Saved on this phone, sent later.";
    return `${what}${timeInWords(minutesOf(seconds) * 60)}. ${saved}${this.#asked.length ? " How did it come out?" : ""}`;
  }

  #hurt() {
    this.#part("hurts-words").hidden = false;
    this.#part("hurts").setAttribute("aria-pressed", "true");
    for (const kept of this.#played.keys()) kept.answer({ felt: "sore" });
    this.#say("Noted.");
  }

  async #undo() {
    const all = [...this.#played.keys()];
    this.#played.clear();
    await Promise.all(all.map((kept) => kept.undo()));
    this.#part("answers").hidden = true;
    this.#part("small").hidden = true;
    this.change.begin([]);
    this.#part("verdicts").replaceChildren();
    this.#part("gained").textContent = "";
    this.#part("total").textContent = "Removed: nothing of it is saved.";
    this.#part("total").focus({ preventScroll: true });
    this.#say("");
  }

  // What the week has brought, with this in it; without a network nothing is said.
  async #tellTheWeek() {
    const answer = await fetch(this.root.dataset.gained ?? "").catch(() => null);
    if (!answer?.ok) return;
    const told = new DOMParser().parseFromString(await answer.text(), "text/html");
    this.#part("gained").textContent = told.body.textContent?.trim() ?? "";
  }

  /** @param {string | null} which */
  #press(which) {
    for (const button of this.#buttons) {
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

  /** @param {string} text what became of a touch */
  #say(text) {
    this.#part("answered").textContent = text;
  }

  /** @param {string} name */
  #part(name) {
    return part(this.root, `[data-stage-${name}]`);
  }
}

/** The answer that says as much of these. @param {KeptPractice[]} all */
function wordFor(all) {
  const clean = all.map(({ how }) => how.clean_loops);
  if (!all.length || clean.includes(null)) return null;
  if (clean.every((times) => times === 0)) return "none";
  return all.every(({ how, counted }) => how.clean_loops === counted.loops) ? "all" : "some";
}

/** How many fills these are of; the groove alone is none. @param {Iterable<Item>} items */
function fillsOf(items) {
  const fills = new Set([...items].map(({ variation }) => variation));
  fills.delete(null);
  return fills.size;
}
