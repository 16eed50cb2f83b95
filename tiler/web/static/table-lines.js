// The lines of the drawing as points, to find what is near a place.

/** Points along a path that our own writer wrote: M, L, C and Z, all absolute. */
export function points(path) {
  const found = [];
  let at = [0, 0];
  for (const [, letter, numbers] of path.getAttribute("d").matchAll(/([MLCZ])([^MLCZ]*)/g)) {
    const n = numbers.trim().split(/[\s,]+/).map(Number);
    if (letter === "Z") {
      found.push(found[0]);
    } else if (letter === "C") {
      const [x0, y0] = at;
      for (let step = 1; step <= 12; step += 1) {
        const t = step / 12;
        const u = 1 - t;
        const [a, b, c, d] = [u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t];
        found.push([a * x0 + b * n[0] + c * n[2] + d * n[4], a * y0 + b * n[1] + c * n[3] + d * n[5]]);
      }
      at = [n[4], n[5]];
    } else {
      at = [n[0], n[1]];
      found.push(at);
    }
  }
  return found;
}

/** Left, top, width and height round points. */
export function boxOf(all) {
  const xs = all.map((p) => p[0]);
  const ys = all.map((p) => p[1]);
  const [left, top] = [Math.min(...xs), Math.min(...ys)];
  return [left, top, Math.max(...xs) - left, Math.max(...ys) - top];
}

/** The place on a row of points that is nearest to a place, and how far it is. */
export function nearest(row, [x, y]) {
  let best = { distance: Infinity, at: row[0] };
  for (let i = 0; i < row.length; i += 1) {
    const [ax, ay] = row[Math.max(0, i - 1)];
    const [bx, by] = row[i];
    const [dx, dy] = [bx - ax, by - ay];
    const size = dx * dx + dy * dy;
    const t = size ? Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / size)) : 0;
    const at = [ax + t * dx, ay + t * dy];
    const distance = Math.hypot(x - at[0], y - at[1]);
    if (distance < best.distance) best = { distance, at };
  }
  return best;
}

/** What can be chosen in a drawing: name of its layer -> its group and the points of its lines. */
export function thingsIn(drawing) {
  const found = new Map();
  for (const group of drawing.querySelectorAll('[data-layer^="edge:"], [data-layer^="notch:"], [data-layer^="dart:"], [data-layer^="mark:"]')) {
    const name = group.dataset.layer;
    const lines = name.startsWith("edge:") ? '[data-layer="way"] path, [data-layer="sewn"] path' : "path";
    const rows = [...group.querySelectorAll(lines)].filter((path) => !path.closest(".off")).map(points);
    if (rows.length) found.set(name, { group, rows, box: boxOf(rows.flat()) });
  }
  return found;
}

/** The name of what lies nearest to a place, within a reach; small things go before edges. */
export function nearestThing(things, place, reach) {
  let best = { distance: reach, name: "" };
  for (const [name, { rows }] of things) {
    const ahead = name.startsWith("edge:") ? 1 : 0.6;
    for (const row of rows) {
      const distance = nearest(row, place).distance * ahead;
      if (distance < best.distance) best = { distance, name };
    }
  }
  return best.name;
}
