// After a run: how many were clean, how it felt, a note; then what that means.
import { master, sayOf } from "../offline/later_requests.js";
import { copyOf, one, part } from "../site/dom.js";

/** @typedef {{item: import("./practice_run.js").Item, entry: import("./run_log.js").LogEntry}} Logged */
/** @typedef {{says?: string, mayMaster?: boolean}} Verdict */

const CLEAN = 0.75; // of the times through; `assignments.planner.clean` decides the same
const ENOUGH = 4; // times through at the tempo asked for, to call a fill mastered

export class Review {
  /**
   * @param {HTMLElement} root
   * @param {Logged[]} played in the order of the run
   * @param {string} variations their address
   */
  constructor(root, played, variations) {
    this.root = root;
    this.variations = variations;
    this.played = played.filter(({ item, entry }) => entry.loops && item.variation !== null);
    this.form = one(root, "form", HTMLFormElement);
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#save();
    });
    this.form.addEventListener("change", ({ target }) => {
      if (target instanceof HTMLInputElement && target.name === "felt") this.#part("hurts").hidden = target.value !== "sore";
    });
    this.groups = grouped(this.played);
    this.rows = this.groups.map((all, number) => this.#row(all, number));
    this.#part("played").replaceChildren(...this.rows);
    this.#part("total").textContent = total(played);
    this.form.hidden = !this.groups.length;
    root.hidden = false;
    this.#part("review-title").focus();
  }

  /**
   * One row for all that was played of a fill; a re-check has its own.
   *
   * @param {Logged[]} all
   * @param {number} number
   */
  #row(all, number) {
    const [{ item, entry }] = all;
    const loops = String(sum(all, "loops"));
    const row = copyOf(document, "[data-run-row]");
    const field = one(row, "input", HTMLInputElement);
    part(row, "[data-name]").textContent = item.name;
    part(row, "[data-done]").textContent = `${item.title}, ${times(Number(loops))} at ${entry.tempo}`;
    part(row, "[data-label]").textContent = `Clean, of ${item.name}, ${number + 1}`;
    part(row, "[data-of]").textContent = `of ${loops}`;
    field.max = loops;
    part(row, "[data-all]").addEventListener("click", () => {
      field.value = loops;
      this.#complain("");
    });
    return row;
  }

  async #save() {
    const { felt, note } = Object.fromEntries(new FormData(this.form));
    const counts = this.rows.map((row) => one(row, "input", HTMLInputElement));
    const wrong = counts.findIndex((field) => !field.validity.valid);
    if (wrong >= 0) {
      this.#complain(`Give how many of the ${counts[wrong].max} were clean: a whole number from 0 to ${counts[wrong].max}.`);
      counts[wrong].focus();
      return;
    }
    this.groups.forEach((all, number) => share(all, counts[number].value));
    const answers = await Promise.all(
      this.played.map(({ entry: { id, clean_loops } }, number) =>
        sayOf(id, { clean_loops, felt: felt ?? "", note: number ? "" : note }),
      ),
    );
    if (answers.some((status) => (status ?? 0) >= 400)) {
      this.#complain("Not all of it was taken. Look at My log, and put it right there.");
      return;
    }
    this.#done();
  }

  /** @param {string} text what is wrong, or nothing */
  #complain(text) {
    this.#part("form-error").hidden = !text;
    this.#part("form-error").textContent = text;
  }

  #done() {
    this.form.hidden = true;
    this.#part("verdicts").replaceChildren(...this.#verdicts());
    this.#part("saved").hidden = false;
    this.#part("saved").focus();
  }

  // One line for each fill about which there is something to say.
  #verdicts() {
    const counted = this.played.filter(({ entry }) => entry.clean_loops !== null);
    /** @type {Map<number | null, Logged[]>} */
    const byFill = new Map();
    for (const logged of counted) {
      const { variation } = logged.item;
      byFill.set(variation, [...(byFill.get(variation) ?? []), logged]);
    }
    const verdicts = [...byFill.values()].map((all) => ({ ...verdict(all), item: all[0].item }));
    return verdicts.filter(({ says }) => says).map((about) => this.#verdict(about));
  }

  /** @param {Verdict & Pick<Logged, "item">} about */
  #verdict({ says = "", mayMaster = false, item }) {
    const line = copyOf(document, "[data-run-verdict]");
    const button = one(line, "[data-master]", HTMLButtonElement);
    part(line, "[data-says]").textContent = says;
    button.hidden = !mayMaster;
    button.addEventListener("click", async () => {
      button.disabled = true;
      const status = await master(`${this.variations}${item.variation}/mastered/`);
      part(line, "[data-says]").textContent = (status ?? 0) >= 400
        ? `${item.name}: that did not work. Mark it on its own page.`
        : `${item.name} is mastered. In a day or two it is played cold, to see whether it holds.`;
      button.hidden = true;
    });
    return line;
  }

  /** @param {string} name */
  #part(name) {
    return part(this.root, `[data-run-${name}]`);
  }
}

/** @param {Logged[]} played */
function grouped(played) {
  /** @type {Map<string, Logged[]>} */
  const groups = new Map();
  for (const logged of played) {
    const { loosening, variation, recheck } = logged.item;
    if (loosening) continue; // too slow to tell anything
    const key = `${variation} ${recheck}`;
    groups.set(key, [...(groups.get(key) ?? []), logged]);
  }
  return [...groups.values()];
}

/**
 * Spread the clean times through over the entries, in proportion to their loops.
 *
 * @param {Logged[]} all
 * @param {string} typed
 */
function share(all, typed) {
  const loops = sum(all, "loops");
  let [before, given] = [0, 0];
  for (const { entry } of all) {
    before += entry.loops ?? 0;
    const upToHere = Math.round((Number(typed) * before) / loops);
    entry.clean_loops = typed === "" ? null : Math.min(entry.loops ?? 0, upToHere - given);
    given += entry.clean_loops ?? 0;
  }
}

/**
 * The verdict on a fill, from all that was played of it.
 *
 * @param {Logged[]} all
 * @returns {Verdict}
 */
function verdict(all) {
  const [{ item }] = all;
  const check = all.find((logged) => logged.item.recheck);
  if (check) return { says: checked(check) };
  const fast = all.filter(({ entry }) => entry.tempo >= item.goal);
  const loops = sum(fast, "loops");
  const isClean = loops >= ENOUGH && sum(fast, "clean_loops") >= CLEAN * loops;
  if (item.mastered || !isClean) return {};
  return { says: `${item.name} came out clean at ${item.goal}.`, mayMaster: true };
}

/** @param {Logged} check */
function checked({ item, entry }) {
  if ((entry.clean_loops ?? 0) >= CLEAN * (entry.loops ?? 0)) return `${item.name} holds.`;
  return `${item.name} needs a little more: it comes back into your plan. That is what playing it cold is for.`;
}

/**
 * @param {Logged[]} played
 * @param {"loops" | "clean_loops"} name
 */
const sum = (played, name) => played.reduce((before, { entry }) => before + (entry[name] ?? 0), 0);

/** @param {Logged[]} played */
function total(played) {
  const minutes = played.reduce((before, { entry }) => before + entry.minutes, 0);
  return played.length ? `${Number(minutes.toFixed(1))} min played and logged.` : "Nothing was played long enough to be logged.";
}

/** @param {number} number */
function times(number) {
  return new Map([[1, "once"], [2, "twice"]]).get(number) ?? `${number} times`;
}
