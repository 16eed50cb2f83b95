// The scale bar, and the ruler: lengths on the screen, told in the user's unit.

import { nearest } from "./table-lines.js";

const MM_PER_INCH = 25.4;
const BARS = {
  mm: [[100, "10 cm"], [50, "5 cm"], [20, "2 cm"], [10, "1 cm"], [5, "5 mm"], [2, "2 mm"], [1, "1 mm"]],
  in: [[4, "4 in"], [2, "2 in"], [1, "1 in"], [0.5, "1/2 in"], [0.25, "1/4 in"], [0.125, "1/8 in"], [0.0625, "1/16 in"]].map(
    ([inches, words]) => [inches * MM_PER_INCH, words],
  ),
};
// As tiler/web/lengths.py tells lengths in the page's language.
const LANGUAGE = document.documentElement.lang;
const UNITS = { de: { in: "Zoll" }, uk: { mm: "мм", cm: "см", in: "дюйм." } }[LANGUAGE] || {};
const SVG = "http://www.w3.org/2000/svg";

function drawn(kind, facts, text = "") {
  const element = document.createElementNS(SVG, kind);
  for (const [name, value] of Object.entries(facts)) element.setAttribute(name, value);
  element.textContent = text;
  return element;
}

/** A bar of 10 cm or 4 in; a shorter one where that would not fit. */
function scaleBar(view, units) {
  const [mm, words] = BARS[units].find(([length]) => length / view.scale <= view.width * 0.45) || BARS[units].at(-1);
  const wide = mm / view.scale;
  const [x, y] = [14, view.height - 16];
  const bar = drawn("g", { class: "scale-bar" });
  bar.append(
    drawn("path", { d: `M${x} ${y - 6}V${y}H${x + wide}V${y - 6}`, class: "halo" }),
    drawn("path", { d: `M${x} ${y - 6}V${y}H${x + wide}V${y - 6}` }),
    drawn("text", { x, y: y - 10 }, inLanguage(words)),
  );
  return bar;
}

/** Words with the unit, and the decimal sign, as the page's language has them. */
function inLanguage(words) {
  const [number, unit] = words.split(" ");
  return `${LANGUAGE === "en" ? number : number.replace(".", ",")} ${UNITS[unit] || unit}`;
}

export function told(mm, units) {
  if (units === "mm") return inLanguage(`${mm.toFixed(1)} mm`);
  return inLanguage(`${(mm / MM_PER_INCH).toFixed(2)} in`);
}

/** The ruler: two places, and what lies between them. */
export class Ruler {
  constructor(view, units, readout) {
    Object.assign(this, { view, units, readout, on: false, ends: [] });
  }

  turn(on) {
    this.on = on;
    this.ends = [];
    this.tell();
  }

  /** Put down one end; it takes to a line that is near. */
  put(place, things) {
    const reach = 9 * this.view.scale;
    let best = { distance: reach, at: place };
    for (const { rows } of things.values()) {
      for (const row of rows) {
        const found = nearest(row, place);
        // Corners hold a little more than lines do.
        for (const end of [row[0], row.at(-1)]) {
          const distance = Math.hypot(end[0] - place[0], end[1] - place[1]) * 0.5;
          if (distance < best.distance) best = { distance, at: end };
        }
        if (found.distance < best.distance) best = found;
      }
    }
    this.ends = this.ends.length === 1 ? [this.ends[0], best.at] : [best.at];
    this.tell();
  }

  tell() {
    const [a, b] = this.ends;
    this.readout.hidden = !b;
    this.readout.textContent = b ? told(Math.hypot(b[0] - a[0], b[1] - a[1]), this.units) : "";
  }

  drawing() {
    const group = drawn("g", { class: "ruler" });
    const pixels = this.ends.map((end) => this.view.pixel(end));
    if (pixels.length === 2) {
      const d = `M${pixels[0].join(" ")}L${pixels[1].join(" ")}`;
      group.append(drawn("path", { d, class: "halo" }), drawn("path", { d }));
      const [x, y] = [(pixels[0][0] + pixels[1][0]) / 2, (pixels[0][1] + pixels[1][1]) / 2];
      this.readout.style.transform = `translate(${Math.round(x)}px, ${Math.round(y)}px) translate(-50%, -130%)`;
    }
    for (const [x, y] of pixels) group.append(drawn("circle", { cx: x, cy: y, r: 5 }));
    return group;
  }
}

/** Draw over the picture, in pixels. */
export function drawOver(over, view, units, ruler) {
  over.setAttribute("viewBox", `0 0 ${view.width} ${view.height}`);
  over.replaceChildren(scaleBar(view, units), ruler.drawing());
}
