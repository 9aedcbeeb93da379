// Any page with a stage: templates/assignments/stage/stage.html. A button with `data-stage-open`
// opens and starts it, by one touch, at its `data-stage-tempo` where it has one; `#stage` in the
// address opens it ready to start.
import { around, jsonOf } from "../site/dom.js";
import { Stage } from "./stage.js";

const root = document.querySelector("[data-stage]");

if (root instanceof HTMLElement) {
  const stage = new Stage(root, jsonOf("stage-session"));
  stage.screen.notation.drawings.bring();
  document.addEventListener("click", (event) => {
    const button = around(event, "[data-stage-open]", HTMLElement);
    if (!button || root.contains(button)) return;
    event.preventDefault();
    const tempo = Number(button.dataset.stageTempo); // where the page sets one
    if (tempo) stage.run.at(tempo);
    stage.player.wake(); // first: in WebKit full screen uses the touch up, and nothing sounds then
    stage.open(button);
    stage.start(Number(button.dataset.stageTempo) || 0);
  });
  if (location.hash === "#stage") stage.open(null);
}
