// The plan larger and smaller, a typed width chosen by typing it, and what is new brought into view.

import { isOther, say } from "/static/shell.js";

const STEPS = ["0", "1", "2", "3"];

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-zoom]");
  const picture = document.getElementById("picture");
  if (!button || !picture) return;
  const at = STEPS.indexOf(picture.dataset.zoomed) + Number(button.dataset.zoom);
  picture.dataset.zoomed = STEPS[Math.max(0, Math.min(STEPS.length - 1, at))];
});

function typed(field) {
  const way = field.dataset.chooses;
  if (way && field.value) document.getElementById(way).checked = true;
}
document.addEventListener("input", (event) => typed(event.target));
for (const field of document.querySelectorAll("[data-chooses]")) if (isOther(field)) typed(field);

document.addEventListener("parts", ({ detail }) => {
  if (!detail.includes("laying")) return;
  const saved = document.querySelector("#plan .saved");
  const amounts = document.querySelector("#plan .amounts");
  if (!detail.includes("plan")) {
    bring(document.getElementById("laying"), "nearest");
  } else if (saved) {
    bring(saved, "nearest");
  } else if (amounts) {
    bring(document.getElementById("plan"), "start");
    say(`${document.getElementById("plan-head").textContent}: ${amounts.textContent}`);
  }
});

function bring(part, block) {
  const { top, bottom } = part.getBoundingClientRect();
  const away = top < 0 || (block === "start" ? top > innerHeight * 0.6 : bottom > innerHeight);
  if (away) part.scrollIntoView({ block });
}
