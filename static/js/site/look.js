// Light, dark, or as the system has it: kept in a cookie so that the next page comes right.
import { one } from "./dom.js";

const YEAR_IN_SECONDS = 31_536_000;

/** @param {string} look */
function setLook(look) {
  document.documentElement.dataset.look = look;
  const secure = location.protocol === "https:" ? "; secure" : "";
  document.cookie = `look=${look}; path=/; max-age=${YEAR_IN_SECONDS}; samesite=lax${secure}`;
}

const choice = document.querySelector("[data-look-choice]");
if (choice instanceof HTMLElement) {
  const select = one(choice, "select", HTMLSelectElement);
  choice.hidden = false;
  select.addEventListener("change", () => setLook(select.value));
}
