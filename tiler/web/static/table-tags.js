// The words of the drawing, set as words of the page: as large as all others however near one is.

import { points } from "./table-lines.js";

const SHARES = [0.5, 0.38, 0.62, 0.25, 0.75, 0.14, 0.86];
const AIR = 7;
// What of the words is shown, best first: letter, name, fold, styles, length. As in table.css.
const FORMS = {
  full: ["b", "span", "u", "em", "i"],
  named: ["b", "span", "em", "i"],
  short: ["b", "em", "i"],
  brief: ["b", "i"],
  bare: ["b"],
};

/** Make the tags of a drawing anew, one for each way of an edge. Gives those that `lay` lays. */
export function makeTags(drawing, into) {
  into.replaceChildren();
  const tags = [];
  for (const group of drawing.querySelectorAll('[data-layer="tag"]')) {
    if (group.closest(".off")) continue;
    const [letter, name, fold, style, length] = [...group.querySelectorAll("text")].map((text) => text.textContent);
    const element = document.createElement("span");
    element.className = "tag";
    element.dataset.thing = group.closest('[data-layer^="edge:"]').dataset.layer;
    const parts = [["b", letter], ["span", name], ["u", fold], ["em", style], ["i", length]];
    for (const [kind, text] of parts.filter(([, text]) => text)) {
      const part = document.createElement(kind);
      part.textContent = text;
      element.append(part);
    }
    into.append(element);
    tags.push({ element, row: points(group.querySelector('[data-layer="way"] path')) });
  }
  measure(tags);
  return tags;
}

/** What each form of a tag takes, from one look at the widths of its parts. */
function measure(tags) {
  const rem = parseFloat(getComputedStyle(document.documentElement).fontSize);
  for (const tag of tags) {
    const parts = [...tag.element.children].map((part) => [part.tagName.toLowerCase(), part.offsetWidth]);
    // Of several ways of an edge none is told without its style.
    const forms = Object.entries(FORMS).filter(([form]) => form !== "brief" || !parts.some(([kind]) => kind === "em"));
    tag.sizes = forms.map(([form, kinds]) => {
      const shown = parts.filter(([kind]) => kinds.includes(kind));
      const sides = form === "bare" ? 0 : 0.5 * rem;
      const wide = shown.reduce((sum, [, width]) => sum + width + 0.35 * rem, sides - 0.35 * rem);
      return [form, Math.ceil(wide), tag.element.offsetHeight];
    });
  }
}

/** Set every tag beside the part of its edge that is in sight, clear of the others. */
export function layTags(tags, view, chosen) {
  const taken = [];
  const told = new Set();
  const mine = (tag) => tag.element.dataset.thing === chosen;
  for (const tag of [...tags].sort((a, b) => mine(b) - mine(a))) {
    let spot = spotFor(tag, view, taken);
    // A bare letter that stands there already says no more a second time.
    if (spot?.form === "bare" && told.has(tag.element.dataset.thing)) spot = null;
    tag.element.hidden = !spot;
    if (!spot) continue;
    tag.element.className = `tag ${spot.form}${mine(tag) ? " chosen" : ""}`;
    tag.element.style.transform = `translate(${Math.round(spot.box[0])}px, ${Math.round(spot.box[1])}px)`;
    taken.push(spot.box);
    told.add(tag.element.dataset.thing);
  }
}

function spotFor(tag, view, taken) {
  const seen = visible(tag.row.map((point) => view.pixel(point)), view);
  if (!seen) return null;
  for (const [form, wide, high, side] of ways(tag, view)) {
    // A short edge far away gets its letter alone.
    if (form !== "bare" && seen.length < 26) continue;
    for (const share of SHARES) {
      const box = boxAt(along(seen, share), wide, high, side);
      const inside = box[0] >= 2 && box[1] >= 2 && box[0] + wide <= view.width - 2 && box[1] + high <= view.height - 2;
      if (inside && !taken.some((other) => meets(box, other))) return { form, box };
    }
  }
  return null;
}

/** Forms and sides, best first. Inside the piece are its marks: words go there when one has come near. */
function ways(tag, view) {
  const bare = tag.sizes.at(-1);
  const worded = tag.sizes.slice(0, -1);
  return [
    ...worded.map((size) => [...size, 1]),
    ...(view.own ? worded.slice(-1).map((size) => [...size, -1]) : []),
    [...bare, 1],
    [...bare, -1],
  ];
}

/** The longest part of a row of pixels that is in sight. */
function visible(row, view) {
  const parts = [];
  let part = null;
  for (let i = 1; i < row.length; i += 1) {
    const cut = clipped(row[i - 1], row[i], view);
    if (!cut) {
      part = null;
      continue;
    }
    if (!part || cut[0] !== row[i - 1]) parts.push((part = { row: [cut[0]], length: 0 }));
    part.row.push(cut[1]);
    part.length += Math.hypot(cut[1][0] - cut[0][0], cut[1][1] - cut[0][1]);
    if (cut[1] !== row[i]) part = null;
  }
  return parts.sort((a, b) => b.length - a.length)[0];
}

/** What of a straight line is in sight (Liang and Barsky, 1984). */
function clipped(a, b, view) {
  let [low, high] = [0, 1];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  for (const [p, q] of [[-dx, a[0]], [dx, view.width - a[0]], [-dy, a[1]], [dy, view.height - a[1]]]) {
    if (p === 0 && q < 0) return null;
    if (p < 0) low = Math.max(low, q / p);
    if (p > 0) high = Math.min(high, q / p);
  }
  if (low > high) return null;
  const at = (t) => [a[0] + t * dx, a[1] + t * dy];
  return [low === 0 ? a : at(low), high === 1 ? b : at(high)];
}

function along({ row, length }, share) {
  let left = length * share;
  for (let i = 1; i < row.length; i += 1) {
    const [dx, dy] = [row[i][0] - row[i - 1][0], row[i][1] - row[i - 1][1]];
    const size = Math.hypot(dx, dy);
    if (size && (left <= size || i === row.length - 1)) {
      const t = Math.min(1, left / size);
      return { at: [row[i - 1][0] + dx * t, row[i - 1][1] + dy * t], out: [dy / size, -dx / size] };
    }
    left -= size;
  }
  return { at: row[0], out: [0, -1] };
}

function boxAt({ at, out }, wide, high, side) {
  const reach = AIR + (wide / 2) * Math.abs(out[0]) + (high / 2) * Math.abs(out[1]);
  const [x, y] = [at[0] + out[0] * reach * side, at[1] + out[1] * reach * side];
  return [x - wide / 2, y - high / 2, wide, high];
}

function meets(a, b) {
  return a[0] < b[0] + b[2] + 2 && b[0] < a[0] + a[2] + 2 && a[1] < b[1] + b[3] + 2 && b[1] < a[1] + a[3] + 2;
}
