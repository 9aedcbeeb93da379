// The tempo on a fill's page: what "Hear" and Play play it at.
import { around, one, part } from "../site/dom.js";

const place = part(document, "[data-fill-tempo]");
const shown = part(place, "[data-tempo-now]");
const { slowest, fastest } = place.dataset;

function show() {
  const tempo = place.dataset.fillTempo ?? "";
  shown.textContent = tempo;
  part(place, ".hear").dataset.hearAlong = JSON.stringify({ tempo: Number(tempo) });
  one(document, "[data-stage-tempo]", HTMLButtonElement).dataset.stageTempo = tempo;
}

place.addEventListener("click", (event) => {
  const by = around(event, "[data-tempo-by]", HTMLButtonElement)?.dataset.tempoBy;
  if (!by) return;
  const wanted = Number(place.dataset.fillTempo) + Number(by);
  place.dataset.fillTempo = String(Math.min(Number(fastest), Math.max(Number(slowest), wanted)));
  show();
});
show();
