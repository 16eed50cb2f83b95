"""The straight edges of the paper, where it was cut, followed to a fraction of a pixel.

Rays go out from the ink until the paper's colour ends (`paperends.py`); straight lines through many
of these ends are followed again in the fine picture, along the steepest change of colour.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Flattened, Numbers, Points

#: Shorter edges say nothing about waves, millimetres.
SHORTEST = 240.0
#: An end of paper belongs to a line when it lies no further from it, millimetres. Waves and
#: uneven cutting stay inside it, corners do not.
_NEAR = 6.0
#: Share of the length of an edge where ends of the paper must have been met.
_FILLED = 0.6
#: How far the fine picture is looked at to either side of the line, millimetres.
_REACH = 9.0
#: From place to place along the edge, and a strip that is averaged for each, millimetres.
_STEP, _STRIP = 2.0, 3.0
#: Standard deviation of the blur across the edge before its steepest place is taken, millimetres.
_BLUR = 0.5
#: Smallest change of colour (in grey levels of 256, over the three channels) that is an edge.
_CONTRAST = 10.0
#: Places where the change is weaker than this part of the edge's own median are left out.
_WEAK = 0.4
#: Most straight edges that are looked for.
_MOST = 8

Colours = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class PaperEdge:
    """A long edge of the paper that is straight but for waves and uneven cutting.

    Args:
        points: Along it, about `_STEP` apart where it was seen, (n, 2), millimetres.
        along: How far along the straight line each point is, millimetres.
        off: How far outside the straight line each is, millimetres; mean and slope are nil.
        outward: Unit vector from the paper to the floor.
        contrast: Change of colour from paper to floor, in grey levels.
    """

    points: Points
    along: Numbers
    off: Numbers
    outward: tuple[float, float]
    contrast: float

    @property
    def length(self) -> float:
        """Millimetres from end to end."""
        return float(self.along[-1] - self.along[0])


def edges_through(ends: Points, flattened: Flattened, hidden: NDArray[np.bool_]) -> list[PaperEdge]:
    """The straight edges on which ends of paper lie.

    Args:
        ends: Where rays left the paper, millimetres.
        flattened: The table from above.
        hidden: Pixels of `flattened` that count as unseen (cards, what no photo shows).
    """
    found: list[PaperEdge] = []
    left = ends
    middle = np.median(ends, axis=0) if len(ends) else np.zeros(2)
    for _ in range(_MOST):
        line = _line_through(left)
        if line is None:
            break
        start, end, on_it = line
        left = left[~on_it]
        edge = _followed(start, end, middle, flattened, hidden)
        if edge is not None:
            found.append(edge)
    return found


def _line_through(ends: Points) -> tuple[Points, Points, NDArray[np.bool_]] | None:
    """The straight stretch on which most ends lie, and which ones do; pairs are drawn at random."""
    if len(ends) < 12:
        return None
    chance = np.random.default_rng(20)
    first = ends[chance.integers(len(ends), size=800)]
    second = ends[chance.integers(len(ends), size=800)]
    ways = second - first
    far = np.hypot(ways[:, 0], ways[:, 1])
    first, ways, far = (values[far > SHORTEST / 2] for values in (first, ways, far))
    best: tuple[float, Points, NDArray[np.bool_]] | None = None
    for point, way in zip(first, ways / far[:, None], strict=True):
        filled, on_it = _filled(ends, point, way)
        if best is None or filled > best[0]:
            best = filled, np.array([point, way]), on_it
    if best is None or best[0] < SHORTEST * _FILLED:
        return None
    _, (point, way), on_it = best
    for _ in range(3):
        point = ends[on_it].mean(axis=0)
        way = np.linalg.svd(ends[on_it] - point, full_matrices=False)[2][0]
        on_it = _filled(ends, point, way)[1]
    where = (ends[on_it] - point) @ way
    if np.ptp(where) < SHORTEST:
        return None
    return point + where.min() * way, point + where.max() * way, on_it


def _filled(ends: Points, point: Points, way: Points) -> tuple[float, NDArray[np.bool_]]:
    """Millimetres of the fullest stretch of a line that ends lie on, and which they are."""
    apart = ends - point
    near = np.abs(apart @ np.array([-way[1], way[0]])) < _NEAR
    cells = np.floor(apart @ way / 10).astype(np.int64)
    taken = np.unique(cells[near])
    if len(taken) == 0:
        return 0.0, near
    stretches = np.split(taken, np.nonzero(np.diff(taken) > 12)[0] + 1)
    longest = max(stretches, key=len)
    full = len(longest) / (longest[-1] - longest[0] + 1)
    inside = near & (cells >= longest[0]) & (cells <= longest[-1])
    return len(longest) * 10.0 * (1.0 if full >= _FILLED else 0.3), inside


def _followed(
    start: Points, end: Points, middle: Points, flattened: Flattened, hidden: NDArray[np.bool_]
) -> PaperEdge | None:
    """The edge along a line, from the fine picture; None when it is none."""
    length = float(np.hypot(*(end - start)))
    way = (end - start) / length
    out = np.array([way[1], -way[0]])
    if (start - middle) @ out < 0:
        out = -out
    # Corners are rounded by the blur and by the other edge's shadow.
    along = np.arange(8.0, length - 8.0, _STEP)
    across = np.arange(-_REACH, _REACH + flattened.pitch / 2, flattened.pitch)
    colours, seen = _strips(start, way, out, along, across, flattened, hidden)
    steep, contrast = _steepness(colours, flattened.pitch)
    if contrast < _CONTRAST or seen.mean() < _FILLED:
        return None
    path = _best_path(np.where(seen[:, None], steep, 0.0))
    off, strength = _peaks(steep, path, across)
    typical = float(np.median(strength[seen]))
    ends = (path > 1) & (path < len(across) - 2)
    good = seen & ends & (strength > _WEAK * typical)
    if good.sum() * _STEP < SHORTEST * _FILLED or good.mean() < _FILLED:
        return None
    straight, kept = _straight(along[good], off[good])
    s, d = along[good][kept], off[good][kept]
    points = start + s[:, None] * way + d[:, None] * out
    level = d - np.polyval(straight, s)
    return PaperEdge(points, s, level, (float(out[0]), float(out[1])), contrast)


def _strips(
    start: Points,
    way: Points,
    out: Points,
    along: Numbers,
    across: Numbers,
    flattened: Flattened,
    hidden: NDArray[np.bool_],
) -> tuple[Colours, NDArray[np.bool_]]:
    """Colours across the edge at each place along it, (places, steps, 3), and which are seen."""
    import cv2

    fine = np.arange(along[0] - _STRIP / 2, along[-1] + _STRIP / 2, 0.5)
    points = start + fine[:, None, None] * way + across[None, :, None] * out
    pixels = flattened.to_pixels(points.reshape(-1, 2)).reshape(points.shape).astype(np.float32)
    colours = cv2.remap(flattened.pixels, pixels[..., 0], pixels[..., 1], cv2.INTER_LINEAR).astype(
        np.float32
    )
    clear = cv2.remap((~hidden).astype(np.uint8), pixels[..., 0], pixels[..., 1], cv2.INTER_NEAREST)
    rows = round(_STRIP / 0.5)
    means = cv2.blur(colours, (1, rows))
    at = np.clip(np.searchsorted(fine, along), 0, len(fine) - 1)
    least = cv2.erode(clear, np.ones((rows, 1), np.uint8))
    whole = np.asarray(least)[at].mean(axis=1) > 0.9
    return np.asarray(means, np.float32)[at], whole


def _steepness(colours: Colours, pitch: float) -> tuple[Numbers, float]:
    """Change of colour per step from paper to floor, (places, steps), and the whole change.

    The three channels are joined into the one along which paper and floor differ most.
    """
    import cv2

    side = max(4, round(3.5 / pitch))
    inside = np.median(colours[:, :side].reshape(-1, 3), axis=0)
    outside = np.median(colours[:, -side:].reshape(-1, 3), axis=0)
    change = outside - inside
    contrast = float(np.linalg.norm(change))
    mixed = colours @ (change / max(contrast, 1e-6)).astype(np.float32)
    smooth = np.asarray(cv2.GaussianBlur(mixed, (0, 0), sigmaX=_BLUR / pitch, sigmaY=0.6))
    return np.gradient(smooth.astype(np.float64), axis=1), contrast


def _best_path(steep: Numbers) -> NDArray[np.int64]:
    """The column of each row along which the change adds up most, a step aside at most a row.

    Dynamic programming: the best way to each place is the best of its three neighbours' before it.
    """
    rows, columns = steep.shape
    gain = np.maximum(steep, 0)
    total = gain[0].copy()
    came = np.zeros((rows, columns), np.int64)
    for row in range(1, rows):
        padded = np.concatenate(([-np.inf], total, [-np.inf]))
        ways = np.stack((padded[:-2], padded[1:-1], padded[2:]))
        best = ways.argmax(axis=0)
        came[row] = np.arange(columns) + best - 1
        total = ways.max(axis=0) + gain[row]
    path = np.empty(rows, np.int64)
    path[-1] = int(total.argmax())
    for row in range(rows - 1, 0, -1):
        path[row - 1] = came[row, path[row]]
    return path


def _peaks(steep: Numbers, path: NDArray[np.int64], across: Numbers) -> tuple[Numbers, Numbers]:
    """The steepest place beside the path in each row, millimetres outwards, and its strength."""
    rows = np.arange(len(path))
    inner = np.clip(path, 3, steep.shape[1] - 4)
    window = steep[rows[:, None], inner[:, None] + np.arange(-2, 3)]
    peak = np.clip(inner + window.argmax(axis=1) - 2, 1, steep.shape[1] - 2)
    before, at, after = (steep[rows, peak + shift] for shift in (-1, 0, 1))
    bend = before - 2 * at + after
    part = np.where(bend < -1e-9, 0.5 * (before - after) / np.where(bend < -1e-9, bend, -1), 0.0)
    return across[peak] + np.clip(part, -1, 1) * (across[1] - across[0]), at


def _straight(along: Numbers, off: Numbers) -> tuple[Numbers, NDArray[np.bool_]]:
    """A straight line (slope, height) through most of the places, and which are near it."""
    kept = np.ones(len(along), np.bool_)
    line = np.zeros(2)
    for _ in range(5):
        line = np.polyfit(along[kept], off[kept], 1)
        left = off - np.polyval(line, along)
        spread = 1.4826 * float(np.median(np.abs(left[kept])))
        kept = np.abs(left) < max(4 * spread, 0.4)
    return np.asarray(np.polyfit(along[kept], off[kept], 1)), kept
