// After a change: what has become of the lengths, and how long the new picture took.

import { ask, place, say } from "/static/shell.js";

const SEEN = 6000; // milliseconds for which a changed length stays marked

let began = 0;
let before = new Map();

function cells() {
  return [...document.querySelectorAll("#lengths [data-cell]")];
}

/** Remember the lengths that are shown. */
export function rememberLengths() {
  before = new Map(cells().map((cell) => [cell.dataset.cell, cell.textContent.trim()]));
}

/** Mark the lengths that are others now, and say so. */
export function markChanged() {
  const words = document.getElementById("lengths").dataset.was;
  const told = [];
  const columns = [...document.querySelectorAll("#lengths thead th")].map((head) => head.textContent.trim());
  for (const cell of cells()) {
    const was = before.get(cell.dataset.cell);
    const now = cell.textContent.trim();
    if (was === undefined || was === now) continue;
    const old = document.createElement("span");
    old.className = "was";
    old.textContent = words.replace("{}", was);
    cell.classList.add("changed");
    cell.append(old);
    const [letter, style, kind] = cell.dataset.cell.split("|");
    const column = columns[1 + ["stitch", "cut", "allowance"].indexOf(kind)];
    told.push(`${letter}${style ? ` ${style}` : ""}, ${column}: ${now}, ${old.textContent}`);
    setTimeout(() => {
      cell.classList.remove("changed");
      old.remove();
    }, SEEN);
  }
  if (told.length) say(told.join("; "));
  before = new Map(cells().map((cell) => [cell.dataset.cell, (cell.querySelector(".was") ? cell.firstChild.textContent : cell.textContent).trim()]));
}

// From the hand to the picture: `performance.getEntriesByName("redraw")`.
for (const kind of ["submit", "change", "input", "click"]) {
  document.addEventListener(
    kind,
    (event) => {
      if (event.target.closest?.("#panel, #history")) began = performance.now();
    },
    true,
  );
}

/** The new picture is in its place; measured once it is painted. */
export function measured() {
  const start = began;
  began = 0;
  if (!start) return;
  requestAnimationFrame(() => setTimeout(() => performance.measure("redraw", { start, end: performance.now() })));
}

/** Ask whether the pattern is still as it is shown, and draw it anew when it is not. */
export async function refresh(address) {
  const digest = () => document.getElementById("picture").dataset.digest;
  const shown = digest();
  const start = performance.now();
  const answer = await ask(`${address}?of=${shown}`);
  const html = await answer.text();
  // What was changed here meanwhile is newer than this answer.
  if (answer.status === 204 || digest() !== shown) return false;
  began = start;
  place(html, answer.ok);
  return answer.ok;
}
