// Sends forms, puts the parts that come back in their places, follows long work.

import { heldFocus, regain, shelter, traceIn } from "./focus.js";
import { say, tell, tellWork } from "./telling.js";

export { say };

const token = document.querySelector('meta[name="studio-token"]').content;

const THEN = "<!-- then -->"; // between parts that come one after the other, as tiler/web/asking.py sends them

/** Fetch from the studio; every request says who sends it, and that it wants parts. */
export function ask(address, options = {}) {
  const headers = { "X-Studio-Token": token, "X-Studio-Part": "1", ...options.headers };
  return fetch(address, { ...options, headers, credentials: "same-origin", redirect: "follow" });
}

/** Fetch parts and put them in their places, unless `outdated` says of one that it came too late. */
export async function askParts(address, options = {}, outdated = () => false) {
  let answer;
  try {
    answer = await ask(address, options);
  } catch {
    unanswered();
    return null;
  }
  if (answer.headers.get("X-Studio-Reload")) {
    location.reload();
    return answer;
  }
  const going = answer.headers.get("X-Studio-Go");
  if (going) {
    location.assign(going);
    return answer;
  }
  const kind = answer.headers.get("Content-Type") || "";
  if (kind.startsWith("text/html")) await placeInTurn(answer, outdated);
  return answer;
}

/** Parts that come first are seen before those behind them are there. */
async function placeInTurn(answer, outdated) {
  const words = answer.body.pipeThrough(new TextDecoderStream()).getReader();
  let html = "";
  for (;;) {
    let part;
    try {
      part = await words.read();
    } catch {
      unanswered();
      return;
    }
    if (part.done) break;
    html += part.value;
    const end = html.indexOf(THEN);
    if (end < 0) continue;
    place(html.slice(0, end), answer.ok, outdated);
    html = html.slice(end + THEN.length);
    await painted();
  }
  place(html, answer.ok, outdated);
}

/** Resolves when what was placed is seen; soon after where nobody looks. */
function painted() {
  return new Promise((seen) => {
    setTimeout(seen, 100);
    requestAnimationFrame(() => setTimeout(seen));
  });
}

/** Each top-level element of `html` that has an id replaces the element of that id. */
export function place(html, well = true, outdated = () => false) {
  const found = new DOMParser().parseFromString(`<body>${html}</body>`, "text/html").body;
  const held = heldFocus();
  const placed = [];
  if (well) clearTrouble(found);
  for (const part of [...found.children]) {
    const old = part.id && document.getElementById(part.id);
    if (!old || outdated(part.id)) continue;
    if (part.id !== "trouble") bringHome(old);
    const trace = held && old.contains(held.focus) ? traceIn(old, held) : null;
    old.replaceWith(document.adoptNode(part));
    placed.push(part);
    if (trace) regain(part, trace);
  }
  const trouble = document.querySelector("#trouble.trouble");
  if (!well && trouble && placed.includes(trouble)) showTrouble(trouble);
  if (held && !heldFocus()) shelter(placed);
  tell(placed);
  document.dispatchEvent(new CustomEvent("parts", { detail: placed.map((part) => part.id) }));
  follow();
}

function unanswered() {
  const trouble = document.getElementById("trouble");
  const words = document.createElement("p");
  words.textContent = document.getElementById("said").dataset.unanswered;
  trouble.className = "trouble";
  trouble.replaceChildren(words);
  trouble.scrollIntoView({ block: "nearest" });
}

/** Trouble that stands beside a field does not go when the part around it is replaced. */
function bringHome(part) {
  const trouble = document.getElementById("trouble");
  if (trouble && part.contains(trouble)) document.getElementById("main").prepend(trouble);
}

function clearTrouble(found) {
  if (found.querySelector("#trouble")) return;
  const old = document.getElementById("trouble");
  if (old && old.classList.contains("trouble")) {
    old.className = "";
    old.replaceChildren();
  }
  for (const field of document.querySelectorAll("[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    describe(field, described(field).filter((id) => id !== "trouble"));
  }
}

/** Trouble stands beside the field it is about, where there is one. */
function showTrouble(trouble) {
  const at = trouble.dataset.at;
  const field = at && (document.getElementById(at) || document.querySelector(`[name="${CSS.escape(at)}"]`));
  if (field) {
    (field.closest("label, fieldset, .field") || field).after(trouble);
    field.setAttribute("aria-invalid", "true");
    describe(field, ["trouble", ...described(field).filter((id) => id !== "trouble")]);
    field.focus();
  } else {
    trouble.scrollIntoView({ block: "nearest" });
  }
}

function described(field) {
  return (field.getAttribute("aria-describedby") || "").split(/\s+/).filter(Boolean);
}

function describe(field, ids) {
  if (ids.length) field.setAttribute("aria-describedby", ids.join(" "));
  else field.removeAttribute("aria-describedby");
}

const turns = new WeakMap();

/** Answers may come in another order than a form was sent in: a part of an older one comes too late
 *  where a newer one has put its own. */
function turnOf(form) {
  const sent = turns.get(form) || { last: 0, placed: new Map() };
  turns.set(form, sent);
  const turn = (sent.last += 1);
  return (id) => {
    if (turn < (sent.placed.get(id) || 0)) return true;
    sent.placed.set(id, turn);
    return false;
  };
}

async function send(form, by) {
  const data = new FormData(form, by && by.name ? by : undefined);
  const address = (by && by.getAttribute("formaction")) || form.getAttribute("action") || location.href;
  const reading = (form.method || "get").toLowerCase() === "get";
  const outdated = turnOf(form);
  const buttons = form.dataset.on ? [] : [...form.querySelectorAll("button")];
  for (const button of buttons) button.setAttribute("aria-busy", "true");
  try {
    if (reading) {
      const query = new URLSearchParams([...data].filter(([, value]) => typeof value === "string"));
      await askParts(`${address.split("?")[0]}?${query}`, {}, outdated);
    } else {
      await askParts(address, { method: "POST", body: data }, outdated);
    }
  } finally {
    for (const button of buttons) button.removeAttribute("aria-busy");
  }
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("form[data-parts]")) return;
  event.preventDefault();
  if (event.submitter && event.submitter.getAttribute("aria-busy") === "true") return;
  send(form, event.submitter);
});

document.addEventListener("change", (event) => {
  const form = event.target.form;
  if (form && form.matches('form[data-parts][data-on="change"]')) send(form);
});

// Fields that compute while one types: a form with data-on="input" is sent shortly after.
let soon = 0;
document.addEventListener("input", (event) => {
  const form = event.target.form;
  if (!form || !form.matches('form[data-parts][data-on="input"]')) return;
  clearTimeout(soon);
  soon = setTimeout(() => send(form), 120);
});

// A link with data-parts fetches parts instead of leaving the page.
document.addEventListener("click", (event) => {
  const link = event.target.closest && event.target.closest("a[data-parts]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  askParts(link.getAttribute("href"));
});

const followed = new Set();

/** Ask again after work that goes on, and fetch what came of it once it is done. */
function follow() {
  tellWork();
  for (const part of document.querySelectorAll("[data-again], [data-done]")) {
    if (followed.has(part)) continue;
    followed.add(part);
    const address = part.dataset.again || part.dataset.done;
    if (!address) continue;
    setTimeout(() => {
      if (part.isConnected) askParts(address);
    }, part.dataset.again ? 250 : 0);
  }
}
follow();

// The settings close with Escape, as menus do.
document.addEventListener("keydown", (event) => {
  const open = event.key === "Escape" && document.querySelector("details.prefs[open]");
  if (open) {
    open.removeAttribute("open");
    open.querySelector("summary").focus();
  }
});

/** On a slow computer fields are filled and buttons pressed before this script is there: it takes that up. */
function catchUp() {
  const { pressed } = window.early;
  window.early = null;
  for (const form of document.querySelectorAll("form[data-parts][data-on]")) {
    if (form !== pressed?.by && [...form.elements].some(isOther)) send(form);
  }
  if (pressed?.by.matches("a")) pressed.by.click();
  else pressed?.by.requestSubmit(pressed.with);
}

/** Whether a field says something else than it said when it came. */
export function isOther(field) {
  if (field.type === "checkbox" || field.type === "radio") return field.checked !== field.defaultChecked;
  if (field.options) return field.options.length > 0 && ![...field.options].some((each) => each.defaultSelected) ? field.selectedIndex > 0 : [...field.options].some((each) => each.selected !== each.defaultSelected);
  return "defaultValue" in field && field.type !== "hidden" && field.value !== field.defaultValue;
}

document.addEventListener("DOMContentLoaded", catchUp);
