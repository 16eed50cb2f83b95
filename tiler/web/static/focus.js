// Who works with keys, or listens, keeps the place while parts of the page are replaced.

const FIELDS = "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]";

/** Where the focus is; null when it is nowhere. */
export function heldFocus() {
  const focus = document.activeElement;
  if (!focus || focus === document.body) return null;
  return { focus, caret: caretOf(focus) };
}

/** What tells the focus apart from its neighbours, before they go. */
export function traceIn(part, { focus, caret }) {
  return { id: focus.id, caret, kind: kindOf(focus), at: alike(part, kindOf(focus)).indexOf(focus) };
}

/** Put the focus where it was; where that is gone, to the beginning of what has come. */
export function regain(part, trace) {
  const same = (trace.id && document.getElementById(trace.id)) || alike(part, trace.kind)[trace.at];
  // What was opened by hand comes closed.
  for (let shut; (shut = same?.closest("details:not([open]) > :not(summary)")?.parentElement); ) shut.open = true;
  if (same && took(same, true)) setCaret(same, trace.caret);
  else begin(part);
}

/** The focus has got lost: to the beginning of one of these parts. */
export function shelter(parts) {
  if (!parts.some((part) => part.isConnected && begin(part))) document.getElementById("main").focus({ preventScroll: true });
}

function begin(part) {
  const heading = part.matches("h1, h2, h3") ? part : part.querySelector("h2, h3");
  if (heading && took(named(heading))) return true;
  if ([...part.querySelectorAll(FIELDS)].some((field) => took(field))) return true;
  return part.textContent.trim() !== "" && took(named(part));
}

function named(part) {
  if (!part.hasAttribute("tabindex")) part.tabIndex = -1;
  return part;
}

function took(element, still = false) {
  element.focus({ preventScroll: still });
  return document.activeElement === element;
}

function kindOf(element) {
  return [element.tagName, element.getAttribute("name"), element.getAttribute("value"), element.getAttribute("href"), element.form?.getAttribute("action")].join("|");
}

function alike(part, kind) {
  return [...part.querySelectorAll(FIELDS)].filter((each) => kindOf(each) === kind);
}

function caretOf(field) {
  try {
    return "selectionStart" in field ? [field.selectionStart, field.selectionEnd] : null;
  } catch {
    return null;
  }
}

function setCaret(field, caret) {
  if (!caret || caret[0] === null || !field.setSelectionRange) return;
  try {
    field.setSelectionRange(...caret);
  } catch {
    // Fields for numbers and dates have no caret to set.
  }
}
