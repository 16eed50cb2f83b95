// The words for a friend, copied; and what is new brought into view.

import { say } from "/static/shell.js";

document.addEventListener("click", async (event) => {
  const button = event.target.closest("[data-copy]");
  if (!button) return;
  const field = document.getElementById(button.dataset.copy);
  field.select();
  try {
    await navigator.clipboard.writeText(field.value);
  } catch {
    return; // What is selected can be copied by hand.
  }
  say(button.dataset.said);
  button.textContent = button.dataset.said;
});

document.addEventListener("parts", ({ detail }) => {
  if (!detail.includes("bundle")) return;
  const bundle = document.getElementById("bundle");
  const { top, bottom } = bundle.getBoundingClientRect();
  if (top < 0 || bottom > innerHeight) {
    const ready = document.getElementById("letter");
    bundle.scrollIntoView({ block: ready && bottom - top > innerHeight ? "start" : "nearest" });
  }
  const head = bundle.querySelector("h2");
  if (head) say(head.textContent);
});
