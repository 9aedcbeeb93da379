// Today's page on another day than its own: a copy that the device keeps, or a page left open over
// night. What it says was done is not of today: it is taken back, until the page is read anew.
import { dayIn } from "../offline/clock.js";

const today = document.querySelector("[data-day]");
const device = document.querySelector("[data-zone]");

function look() {
  if (!(today instanceof HTMLElement) || !(device instanceof HTMLElement)) return;
  const isOld = dayIn(device.dataset.zone ?? "UTC", Date.now()) !== today.dataset.day;
  today.toggleAttribute("data-is-old", isOld);
}

look();
document.addEventListener("visibilitychange", look);
addEventListener("pageshow", look);
