// After a run: how many were clean, how it felt, a note; then what that means.
import { master, sayOf } from "../offline/later_requests.js";

const CLEAN = 0.75; // of the times through; `assignments.planner.clean` decides the same
const ENOUGH = 4; // times through at the tempo asked for, to call a fill mastered

export class Review {
  // `played`: [{item, entry}] in the order of the run; `variations`: their address.
  constructor(root, played, variations) {
    this.root = root;
    this.variations = variations;
    this.played = played.filter(({ item, entry }) => entry.loops && item.variation !== null);
    this.form = root.querySelector("form");
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.#save();
    });
    this.form.addEventListener("change", ({ target }) => {
      if (target.name === "felt") this.#part("hurts").hidden = target.value !== "sore";
    });
    this.groups = grouped(this.played);
    this.rows = this.groups.map((all, number) => this.#row(all, number));
    this.#part("played").replaceChildren(...this.rows);
    this.#part("total").textContent = total(played);
    this.form.hidden = !this.groups.length;
    root.hidden = false;
    this.#part("review-title").focus();
  }

  // One row for all that was played of a fill; a re-check has its own.
  #row(all, number) {
    const [{ item, entry }] = all;
    const loops = sum(all, "loops");
    const row = this.root.ownerDocument.querySelector("[data-run-row]").content.firstElementChild.cloneNode(true);
    const field = row.querySelector("input");
    row.querySelector("[data-name]").textContent = item.name;
    row.querySelector("[data-done]").textContent = `${item.title}, ${times(loops)} at ${entry.tempo}`;
    row.querySelector("[data-label]").textContent = `Clean, of ${item.name}, ${number + 1}`;
    row.querySelector("[data-of]").textContent = `of ${loops}`;
    field.max = loops;
    row.querySelector("[data-all]").addEventListener("click", () => {
      field.value = loops;
      this.#complain("");
    });
    return row;
  }

  async #save() {
    const { felt, note } = Object.fromEntries(new FormData(this.form));
    const counts = this.rows.map((row) => row.querySelector("input"));
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
    if (answers.some((status) => status >= 400)) {
      this.#complain("Not all of it was taken. Look at My log, and put it right there.");
      return;
    }
    this.#done();
  }

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
    const byFill = new Map();
    for (const one of counted) {
      const { variation } = one.item;
      byFill.set(variation, [...(byFill.get(variation) ?? []), one]);
    }
    const said = [...byFill.values()].map((all) => ({ ...verdict(all), item: all[0].item }));
    return said.filter(({ says }) => says).map((one) => this.#verdict(one));
  }

  #verdict({ says, mayMaster, item }) {
    const line = this.root.ownerDocument.querySelector("[data-run-verdict]").content.firstElementChild.cloneNode(true);
    const button = line.querySelector("[data-master]");
    line.querySelector("[data-says]").textContent = says;
    button.hidden = !mayMaster;
    button.addEventListener("click", async () => {
      button.disabled = true;
      const status = await master(`${this.variations}${item.variation}/mastered/`);
      line.querySelector("[data-says]").textContent = status >= 400
        ? `${item.name}: that did not work. Mark it on its own page.`
        : `${item.name} is mastered. In a day or two it is played cold, to see whether it holds.`;
      button.hidden = true;
    });
    return line;
  }

  #part(name) {
    return this.root.querySelector(`[data-run-${name}]`);
  }
}

function grouped(played) {
  const groups = new Map();
  for (const one of played) {
    if (one.item.loosening) continue; // too slow to tell anything
    const key = `${one.item.variation} ${one.item.recheck}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()];
}

// Spread the clean times through over the entries, in proportion to their loops.
function share(all, typed) {
  const loops = sum(all, "loops");
  let [before, given] = [0, 0];
  for (const { entry } of all) {
    before += entry.loops;
    const upToHere = Math.round((Number(typed) * before) / loops);
    entry.clean_loops = typed === "" ? null : Math.min(entry.loops, upToHere - given);
    given += entry.clean_loops ?? 0;
  }
}

// What is to be said of a fill, from all that was played of it.
function verdict(all) {
  const [{ item }] = all;
  const check = all.find((one) => one.item.recheck);
  if (check) return { says: checked(check) };
  const fast = all.filter(({ entry }) => entry.tempo >= item.goal);
  const loops = sum(fast, "loops");
  const isClean = loops >= ENOUGH && sum(fast, "clean_loops") >= CLEAN * loops;
  if (item.mastered || !isClean) return {};
  return { says: `${item.name} came out clean at ${item.goal}.`, mayMaster: true };
}

function checked({ item, entry }) {
  if (entry.clean_loops >= CLEAN * entry.loops) return `${item.name} holds.`;
  return `${item.name} needs a little more: it comes back into your plan. That is what playing it cold is for.`;
}

const sum = (played, name) => played.reduce((total, { entry }) => total + entry[name], 0);

function total(played) {
  const minutes = played.reduce((sum, { entry }) => sum + entry.minutes, 0);
  return played.length ? `${Number(minutes.toFixed(1))} min played and logged.` : "Nothing was played long enough to be logged.";
}

function times(number) {
  return { 1: "once", 2: "twice" }[number] ?? `${number} times`;
}
