// The forms beside the picture: what is open stays open, widths are reckoned while one types, undo by keys.

import { ask, place } from "/static/shell.js";

const WAIT = 150; // milliseconds without a key before a width is reckoned
const opened = new Map();

// Only what was opened and closed by hand counts; what the studio opens itself tells of nothing.
document.addEventListener("click", (event) => {
  const summary = event.target.closest("#panel summary");
  const part = summary?.parentElement;
  if (part?.id) opened.set(part.id, !part.open);
});

/** Show the fields that go with what is chosen: data-when="width=checked", "meets=", "gives=!". */
function fit(form) {
  for (const part of form.querySelectorAll("[data-when]")) {
    const [name, wanted] = part.dataset.when.split("=");
    const value = form.elements[name]?.value ?? "";
    const fits = wanted === "!" ? value !== "" : wanted.split("|").includes(value);
    part.hidden = !fits;
    for (const field of part.querySelectorAll("input, select")) field.disabled = !fits;
  }
}

const reckoning = new Map();
function reckon(field) {
  const part = field.closest("[data-reckon]");
  if (!part || part.hidden) return;
  const asked = new URLSearchParams({ id: part.dataset.id });
  for (const input of part.querySelectorAll("input")) if (!input.name.startsWith("was.")) asked.set(input.name, input.value);
  // Only the last answer counts: the one before it may be on its way still.
  const { id } = part.dataset;
  const before = reckoning.get(id);
  clearTimeout(before?.soon);
  before?.asking.abort();
  const asking = new AbortController();
  const soon = setTimeout(async () => {
    try {
      const answer = await ask(`${part.dataset.reckon}?${asked}`, { signal: asking.signal });
      // No answer to a form: what was refused stays beside its field.
      if (answer.ok) place(await answer.text(), false);
    } catch (fault) {
      if (fault.name !== "AbortError") throw fault;
    }
  }, WAIT);
  reckoning.set(id, { soon, asking });
}

function ready() {
  for (const [id, open] of opened) {
    const part = document.getElementById(id);
    if (part) part.open = open;
  }
  for (const form of document.querySelectorAll("#panel form.edit")) fit(form);
  for (const part of document.querySelectorAll("#panel [data-reckon]:not([hidden]) input[value]:not([value=''])")) reckon(part);
}

document.addEventListener("parts", (event) => {
  if (event.detail.includes("panel")) ready();
});

document.addEventListener("change", (event) => {
  const form = event.target.closest("#panel form.edit");
  if (form) fit(form);
  if (event.target.closest("[data-reckon], .reckoner")) reckon(form.querySelector("[data-reckon] input"));
});
document.addEventListener("input", (event) => reckon(event.target));

// Who types undoes what was typed; everywhere else these keys undo changes of the pattern.
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
  if (event.target.closest("input:not([type=radio], [type=checkbox]), textarea, select")) return;
  const key = event.key.toLowerCase();
  const step = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" && !event.shiftKey ? "redo" : "";
  const button = step && document.getElementById(step);
  if (!button || button.disabled) return;
  event.preventDefault();
  button.click();
});
