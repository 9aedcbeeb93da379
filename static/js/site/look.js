// Light, dark, or as the system has it: kept in a cookie so that the next page comes right.
const YEAR_IN_SECONDS = 31_536_000;

function setLook(look) {
  document.documentElement.dataset.look = look;
  const secure = location.protocol === "https:" ? "; secure" : "";
  document.cookie = `look=${look}; path=/; max-age=${YEAR_IN_SECONDS}; samesite=lax${secure}`;
}

const choice = document.querySelector("[data-look-choice]");
if (choice) {
  choice.hidden = false;
  choice.querySelector("select").addEventListener("change", (event) => setLook(event.target.value));
}
