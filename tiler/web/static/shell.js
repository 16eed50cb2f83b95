// Sends forms, puts the parts that come back in their places, follows long work.

const token = document.querySelector('meta[name="studio-token"]').content;

/** Fetch from the studio; every request says who sends it, and that it wants parts. */
export function ask(address, options = {}) {
  const headers = { "X-Studio-Token": token, "X-Studio-Part": "1", ...options.headers };
  return fetch(address, { ...options, headers, credentials: "same-origin", redirect: "follow" });
}

/** Fetch parts and put them in their places. Gives the answer. */
export async function askParts(address, options = {}) {
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
  if (kind.startsWith("text/html")) place(await answer.text(), answer.ok);
  return answer;
}

/** Each top-level element of `html` that has an id replaces the element of that id. */
export function place(html, well = true) {
  const found = new DOMParser().parseFromString(`<body>${html}</body>`, "text/html").body;
  const focus = document.activeElement;
  const name = focus && focus.id;
  const caret = focus && "selectionStart" in focus ? caretOf(focus) : null;
  const placed = [];
  if (well) clearTrouble(found);
  for (const part of [...found.children]) {
    const old = part.id && document.getElementById(part.id);
    if (!old) continue;
    if (part.id !== "trouble") bringHome(old);
    const keep = name && old.contains(focus);
    old.replaceWith(document.adoptNode(part));
    placed.push(part.id);
    if (keep) refocus(name, caret);
  }
  const trouble = document.querySelector("#trouble.trouble");
  if (!well && trouble && placed.includes("trouble")) showTrouble(trouble);
  document.dispatchEvent(new CustomEvent("parts", { detail: placed }));
  follow();
}

/** Words for those who listen instead of looking. */
export function say(words) {
  document.getElementById("said").textContent = words;
}

function unanswered() {
  const trouble = document.getElementById("trouble");
  const words = document.createElement("p");
  words.textContent = document.getElementById("said").dataset.unanswered;
  trouble.className = "trouble";
  trouble.replaceChildren(words);
  trouble.scrollIntoView({ block: "nearest" });
}

function caretOf(field) {
  try {
    return [field.selectionStart, field.selectionEnd];
  } catch {
    return null;
  }
}

function refocus(id, caret) {
  const field = document.getElementById(id);
  if (!field) return;
  field.focus({ preventScroll: true });
  if (caret && caret[0] !== null && field.setSelectionRange) {
    try {
      field.setSelectionRange(...caret);
    } catch {
      // Fields for numbers and dates have no caret to set.
    }
  }
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
    field.removeAttribute("aria-describedby");
  }
}

/** Trouble stands beside the field it is about, where there is one. */
function showTrouble(trouble) {
  const at = trouble.dataset.at;
  const field = at && (document.getElementById(at) || document.querySelector(`[name="${CSS.escape(at)}"]`));
  if (field) {
    (field.closest("label, fieldset, .field") || field).after(trouble);
    field.setAttribute("aria-invalid", "true");
    field.setAttribute("aria-describedby", "trouble");
    field.focus();
  } else {
    trouble.scrollIntoView({ block: "nearest" });
  }
}

const lately = new WeakMap();

async function send(form, by) {
  const data = new FormData(form, by && by.name ? by : undefined);
  const address = (by && by.getAttribute("formaction")) || form.getAttribute("action") || location.href;
  const reading = (form.method || "get").toLowerCase() === "get";
  // Only the last answer counts when a form is sent again while it is under way.
  const turn = (lately.get(form) || 0) + 1;
  lately.set(form, turn);
  const buttons = form.dataset.on ? [] : [...form.querySelectorAll("button")];
  for (const button of buttons) button.setAttribute("aria-busy", "true");
  try {
    if (reading) {
      const query = new URLSearchParams([...data].filter(([, value]) => typeof value === "string"));
      await askParts(`${address.split("?")[0]}?${query}`);
    } else {
      await askParts(address, { method: "POST", body: data });
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
