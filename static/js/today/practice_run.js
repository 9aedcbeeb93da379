// Goes through the day's plan by itself: plays an item, says what comes, plays the next.
//
//   const run = new Run(player, {items, blocks});
//   run.toggle(); run.skip(); run.finish();
//
// Events, all CustomEvents:
//   state {state, index, wait}     "ready", "playing", "paused", "between" (`wait` seconds left), "over"
//   played {item, loops, seconds}  an item is through, or was broken off after more than a try
const PAUSE = 4; // seconds to read what comes next
const SHORTEST = 6; // seconds; less is not practice but a try

export class Run extends EventTarget {
  #timer = 0;
  #wait = 0;
  #kept = false;

  constructor(player, { items, blocks }) {
    super();
    this.player = player;
    this.items = items;
    this.blocks = blocks;
    this.state = "ready";
    const open = items.findIndex((item) => !item.done);
    this.index = open < 0 ? 0 : open;
    player.addEventListener("ended", () => this.#through());
    player.addEventListener("trouble", () => this.#halt());
    player.addEventListener("state", ({ detail }) => {
      if (detail.state === "paused") this.#halt(); // by a touch, or by a call on the telephone
    });
    addEventListener("pagehide", () => {
      this.#keep();
      this.#halt();
    });
    this.#load();
  }

  get item() {
    return this.items[this.index];
  }

  get next() {
    return this.items[this.index + 1] ?? null;
  }

  // Play, pause, and go on.
  toggle() {
    if (this.state === "playing") {
      if (this.player.state === "playing") this.player.pause();
      else this.player.stop();
      this.#halt();
    } else if (this.state === "between") {
      clearInterval(this.#timer);
      this.#become("paused");
    } else if (this.state === "ready" || this.state === "paused") {
      this.#play();
    }
  }

  skip() {
    if (this.state === "over") return;
    this.#keep();
    this.player.stop();
    this.#goOn(this.state === "playing" || this.state === "between");
  }

  finish() {
    if (this.state === "over") return;
    clearInterval(this.#timer);
    this.#keep();
    this.player.stop();
    this.#become("over");
  }

  #load() {
    const { block, tempo, loops, grooveAlone } = this.item;
    this.player.load(this.blocks[block], { tempo, loops, muteFill: grooveAlone, ladderBy: 0, slow: false });
    this.#kept = false;
  }

  #halt() {
    if (this.state === "playing") this.#become("paused");
  }

  #play() {
    clearInterval(this.#timer);
    if (this.#kept) {
      // What was told is told: from here on it is counted anew.
      this.player.forget();
      this.#kept = false;
    }
    this.#become("playing");
    this.player.start();
  }

  #through() {
    if (this.state !== "playing") return;
    this.#keep();
    this.#goOn(true);
  }

  // What was played of this item is told once.
  #keep() {
    if (this.#kept || this.state === "over") return;
    const { loops, seconds } = this.player.played;
    if (seconds < SHORTEST) return;
    this.#kept = true;
    this.item.done = true;
    this.#say("played", { item: this.item, loops, seconds });
  }

  #goOn(byItself) {
    clearInterval(this.#timer);
    if (!this.next) {
      this.#become("over");
      return;
    }
    this.index += 1;
    this.#load();
    if (!byItself) {
      this.#become("ready");
      return;
    }
    this.#wait = PAUSE;
    this.#become("between");
    this.#timer = setInterval(() => this.#countDown(), 1000);
  }

  #countDown() {
    this.#wait -= 1;
    if (this.#wait > 0) this.#become("between");
    else this.#play();
  }

  #become(state) {
    this.state = state;
    this.#say("state", { state, index: this.index, wait: this.#wait });
  }

  #say(type, detail) {
    this.dispatchEvent(new CustomEvent(type, { detail }));
  }
}
