// The tempo on a fill's page, one number: what "Hear", Play and the player of the page play it at.
import { around, one, part } from "../site/dom.js";
import { TypedEvents } from "../site/typed_events.js";

/** @extends {TypedEvents<{change: {tempo: number}}>} */
class FillTempo extends TypedEvents {
  /** @param {HTMLElement} place */
  constructor(place) {
    super();
    this.place = place;
    place.addEventListener("click", (event) => {
      const by = around(event, "[data-tempo-by]", HTMLButtonElement)?.dataset.tempoBy;
      if (by) this.set(this.now + Number(by));
    });
    this.#show();
  }

  get now() {
    return Number(this.place.dataset.fillTempo);
  }

  /** @param {number} wanted */
  set(wanted) {
    const { slowest, fastest } = this.place.dataset;
    const tempo = Math.min(Number(fastest), Math.max(Number(slowest), wanted));
    if (tempo === this.now) return;
    this.place.dataset.fillTempo = String(tempo);
    this.#show();
    this.say("change", { tempo });
  }

  #show() {
    part(this.place, "[data-tempo-now]").textContent = String(this.now);
    part(this.place, ".hear").dataset.hearAlong = JSON.stringify({ tempo: this.now });
    one(document, "[data-stage-tempo]", HTMLButtonElement).dataset.stageTempo = String(this.now);
  }
}

export const fillTempo = new FillTempo(part(document, "[data-fill-tempo]"));
