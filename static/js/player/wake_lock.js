// Keeps the screen on while `isWanted()`; browsers drop the lock whenever the page is hidden.

export class Awake {
  /** @type {WakeLockSentinel | null} */
  #lock = null;

  /** @param {() => boolean} isWanted */
  constructor(isWanted) {
    this.isWanted = isWanted;
    document.addEventListener("visibilitychange", () => this.check());
  }

  async check() {
    if (!this.isWanted()) {
      this.#lock?.release();
      this.#lock = null;
    } else if (document.visibilityState === "visible" && (this.#lock?.released ?? true)) {
      // A low battery may refuse it; the music plays on.
      const lock = await navigator.wakeLock?.request("screen").catch(() => null);
      this.#lock = lock ?? null;
      if (!this.isWanted()) this.check();
    }
  }
}
