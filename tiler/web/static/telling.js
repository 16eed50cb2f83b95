// Words for those who listen instead of looking.

const TOGETHER = 80; // milliseconds: what is said within them is read out as one
const APART = 20000; // milliseconds between two words on how far work is
const waiting = [];
const heard = new Map();
let soon = 0;

/** Have words read out; `language` where they are not in the page's own. */
export function say(words, language = "") {
  const clean = words.trim().replace(/\s+/g, " ");
  if (!clean || waiting.some(([other]) => other === clean)) return;
  waiting.push([clean, language]);
  clearTimeout(soon);
  soon = setTimeout(() => {
    document.getElementById("said").replaceChildren(...waiting.splice(0).flatMap(spoken));
  }, TOGETHER);
}

function spoken([words, language]) {
  const part = document.createElement("span");
  part.textContent = words;
  if (language) part.lang = language;
  return [part, " "];
}

/** What has come with new parts and is marked to be told. */
export function tell(parts) {
  for (const part of parts) {
    for (const each of [part, ...part.querySelectorAll("[data-told]")]) {
      if (each.hasAttribute("data-told") && each.checkVisibility()) say(each.textContent, each.lang);
    }
  }
}

/** How far work is, sparingly. */
export function tellWork() {
  for (const part of document.querySelectorAll(".working[data-again]")) {
    const words = part.querySelector("label");
    if (performance.now() - (heard.get(part.id) ?? -Infinity) < APART) continue;
    heard.set(part.id, performance.now());
    say(words.textContent, words.lang);
  }
}
