// Pictures of patterns are fetched when they come near to what is seen.

import { askParts } from "./shell.js";

const near = new IntersectionObserver(
  (seen) => {
    for (const each of seen) if (each.isIntersecting) fetchOnce(each.target);
  },
  { rootMargin: "300px" },
);

// Two at a time: the studio draws them on the computer that also shows them.
const waiting = [];
let going = 0;

function fetchOnce(part) {
  near.unobserve(part);
  waiting.push(part);
  next();
}

async function next() {
  if (going >= 2 || !waiting.length) return;
  const part = waiting.shift();
  going += 1;
  try {
    if (part.isConnected) await askParts(part.dataset.lazy);
  } finally {
    going -= 1;
    next();
  }
}

function watch() {
  for (const part of document.querySelectorAll("[data-lazy]")) near.observe(part);
}
watch();

document.addEventListener("parts", ({ detail }) => {
  if (!detail.includes("shelf")) return;
  watch();
  // The button that was pressed is gone; what it did is told here.
  const news = document.querySelector("#news.news");
  if (news) news.focus();
});
