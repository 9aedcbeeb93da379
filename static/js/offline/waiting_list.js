// On My log, above what is logged: what is still on this device, and what could not be logged.
import { copyOf, one, part } from "../site/dom.js";
import * as laterRequests from "./later_requests.js";
import { device, forget, isUsable, queue } from "./queue.js";
import * as store from "./store.js";

/** @typedef {import("./store.js").Entry} Entry */

const template = "template[data-waiting-list]";

function emptyRow() {
  const pattern = part(one(device, template, HTMLTemplateElement).content, "[data-row]");
  return /** @type {HTMLElement} */ (pattern.cloneNode(true));
}

/** @param {Entry} entry */
function row(entry) {
  const item = emptyRow();
  const { minutes, tempo, day } = entry.fields;
  const made = new Date(entry.made).toLocaleString("en-GB", {
    timeZone: device.dataset.zone, weekday: "long", day: "numeric", month: "long",
  });
  part(item, "[data-minutes]").textContent = `${Number(minutes)} min`;
  part(item, "[data-rest]").textContent = `${tempo ? ` at ${tempo}` : ""}, ${day ?? made}`;
  const undone = entry.fields.undone ? ["removed, to be sent"] : [];
  part(item, "[data-more]").textContent = [entry.said, ...undone, ...problems(entry)].filter(Boolean).join(": ");
  const change = one(item, "[data-change]", HTMLAnchorElement);
  change.hidden = !entry.refused;
  change.href = `${entry.page}#entry-${entry.id}`;
  const remove = part(item, "[data-remove]");
  remove.hidden = store.mayBeThere(entry) && !entry.refused; // it may be logged already
  remove.addEventListener("click", () => forget(entry.id));
  return item;
}

/** Something else than an entry. @param {import("./later_list.js").LaterRequest} request */
function laterRow({ id, said = "a change", refused, page, fields, tried }) {
  const item = emptyRow();
  part(item, "[data-minutes]").remove();
  part(item, "[data-rest]").textContent = said.charAt(0).toUpperCase() + said.slice(1);
  part(item, "[data-more]").textContent = refused ? `Not taken: ${refused.join(" ")}` : "Waits to be sent.";
  const change = one(item, "[data-change]", HTMLAnchorElement);
  change.hidden = !refused || !fields?.length || !page;
  change.href = `${page}#later-${id}`;
  const again = part(item, "[data-again]");
  again.hidden = !refused;
  again.addEventListener("click", () => laterRequests.tryAgain(id));
  const remove = part(item, "[data-remove]");
  remove.hidden = Boolean(tried) && !refused; // it may be there already
  remove.addEventListener("click", () => laterRequests.takeOff(id));
  return item;
}

/** @param {Entry} entry */
const problems = (entry) =>
  Object.values(entry.refused ?? {}).flat().map((problem) => problem.message ?? "").filter(Boolean);

/** @param {HTMLElement} section */
async function show(section) {
  const entries = await store.all().catch(() => []);
  const own = entries.filter((entry) => String(entry.student) === device.dataset.student);
  const more = laterRequests.own();
  section.hidden = !own.length && !more.length;
  part(section, "[data-rows]").replaceChildren(...own.reverse().map(row), ...more.reverse().map(laterRow));
}

export function start() {
  if (!isUsable || !device.querySelector(template) || location.pathname !== device.dataset.log) return;
  const section = copyOf(device, template);
  const heading = part(document, "main h1");
  (heading.closest(".page-head") ?? heading).after(section);
  queue.addEventListener("change", () => show(section));
  show(section);
}
