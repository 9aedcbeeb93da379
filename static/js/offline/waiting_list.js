// On My log, above what is logged: what is still on this device, and what could not be logged.
import { device, forget, isUsable, queue } from "./queue.js";
import * as store from "./store.js";

const template = device?.querySelector("template[data-waiting-list]");
let section;

function row(entry) {
  const item = template.content.querySelector("[data-row]").cloneNode(true);
  const { minutes, tempo, day } = entry.fields;
  const made = new Date(entry.made).toLocaleString("en-GB", {
    timeZone: device.dataset.zone, weekday: "long", day: "numeric", month: "long",
  });
  item.querySelector("[data-minutes]").textContent = `${Number(minutes)} min`;
  item.querySelector("[data-rest]").textContent = `${tempo ? ` at ${tempo}` : ""}, ${day ?? made}`;
  item.querySelector("[data-more]").textContent = [entry.said, ...problems(entry)].filter(Boolean).join(": ");
  const change = item.querySelector("[data-change]");
  change.hidden = !entry.refused;
  change.href = `${entry.page}#entry-${entry.id}`;
  const remove = item.querySelector("[data-remove]");
  remove.hidden = Boolean(entry.sent) && !entry.refused; // it may be logged already
  remove.addEventListener("click", () => forget(entry.id));
  return item;
}

const problems = (entry) =>
  Object.values(entry.refused ?? {}).flat().map((problem) => problem.message ?? "").filter(Boolean);

async function show() {
  const entries = await store.all().catch(() => []);
  const own = entries.filter((entry) => String(entry.student) === device.dataset.student);
  section.hidden = !own.length;
  section.querySelector("[data-rows]").replaceChildren(...own.reverse().map(row));
}

export function start() {
  if (!isUsable || !template || location.pathname !== device.dataset.log) return;
  section = template.content.querySelector("section").cloneNode(true);
  const heading = document.querySelector("main h1");
  (heading.closest(".page-head") ?? heading).after(section);
  queue.addEventListener("change", show);
  show();
}
