// The stage: what is played, what is seen, what is touched, and what is kept of it.
import { Awake } from "../player/wake_lock.js";
import { KeptPractice } from "../practice/kept_practice.js";
import { Player } from "../player/player.js";
import { part } from "../site/dom.js";
import { Ending } from "./stage_ending.js";
import { Look } from "./stage_look.js";
import { listen } from "./stage_input.js";
import { Overlay } from "./stage_overlay.js";
import { Run } from "./practice_run.js";
import { Screen } from "./stage_screen.js";

/** @typedef {import("./stage_notation.js").Shown} ShownDrawings */
/** @typedef {import("./practice_run.js").Plan & {shown: Record<string, ShownDrawings>}} Session */

const STEP = 2; // quarters a minute

export class Stage {
  /**
   * @param {HTMLElement} root
   * @param {Session} session
   */
  constructor(root, session) {
    this.root = root;
    this.player = new Player({ sounds: root.dataset.sounds ?? "" });
    this.run = new Run(this.player, session);
    this.look = new Look(root);
    this.screen = new Screen(root, this.run, this.player, session.shown);
    this.overlay = new Overlay(root);
    this.ending = new Ending(root, this);
    this.awake = new Awake(() => this.overlay.isOpen);
    /** What is kept of the item that is played now. @type {KeptPractice | null} */
    this.kept = null;
    this.run.on("loaded", () => (this.kept = null));
    this.run.on("played", ({ item, ...count }) => {
      const { variation, name, recheck, easier } = item;
      this.kept ??= new KeptPractice({ variation, name, recheck, easier });
      this.kept.played(count);
      if (this.kept.id) this.ending.take(item, this.kept);
    });
    this.run.on("state", ({ state }) => {
      if (state === "over") this.ending.show(this.run.tried);
    });
    this.look.on("change", () => this.screen.layOut());
    this.overlay.on("left", () => this.#left());
    listen(root, this);
  }

  get isOver() {
    return this.run.state === "over";
  }

  /** @param {HTMLElement | null} opener to which the focus returns */
  open(opener) {
    if (this.overlay.isOpen) return;
    this.overlay.open(opener);
    this.awake.check();
    this.screen.begin(this.look.step);
    if (!opener && !navigator.userActivation?.hasBeenActive) this.screen.say("Touch to let this page sound.");
  }

  /**
   * Only after a touch or a key: browsers keep a page silent before.
   *
   * @param {number} tempo of the first item, where the page has another one than it was planned for
   */
  start(tempo = 0) {
    this.run.prepare(tempo);
    if (this.isOver) this.#anew();
    else if (this.run.state !== "playing") this.run.toggle();
  }

  toggle() {
    if (!this.isOver) this.run.toggle();
  }

  next() {
    if (!this.isOver && this.run.next) this.run.skip();
  }

  back() {
    if (!this.isOver) this.run.back();
  }

  /** @param {1 | -1} by */
  faster(by) {
    if (!this.isOver) this.player.set({ tempo: this.player.base + by * STEP });
  }

  // By x and Esc: what was played is kept and asked about; a second time the stage closes.
  end() {
    if (!this.isOver && this.hasSounded) this.run.finish();
    else if (this.ending.leave()) this.close();
  }

  get hasSounded() {
    return this.ending.isAsking || this.player.played.seconds > 0 || this.run.tried > 0;
  }

  goOn() {
    this.#anew();
  }

  close() {
    return this.overlay.close();
  }

  #anew() {
    this.ending.hide();
    this.run.again();
    part(this.root, "[data-stage-play]").focus();
  }

  // However it was left, by the phone's own button too: what sounded is kept.
  #left() {
    if (!this.isOver) this.run.finish();
    this.ending.leave();
    this.awake.check();
  }
}
