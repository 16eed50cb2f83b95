"""Pattern lines that something else is painted over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.pattern.affine import Point
from tiler.proof.drawn import Showing
from tiler.proof.expected import Expected
from tiler.proof.geometry import Bools, Floats, Ints, mapped, moved_window, sizes
from tiler.proof.ink import Cover
from tiler.proof.known import Known
from tiler.proof.measuring import Measured
from tiler.proof.placing import Placed

#: An arrowhead of a grainline may lie on the line, for it is black: this large at most, mm.
ARROW = 5.0
#: Lines are looked at in steps of so many mm.
_STEP = 0.25
_MOST_AT_ONCE = 2_000_000


@dataclass(frozen=True, slots=True)
class _Area:
    """A cover on a page, mm.

    Args:
        sides: Sides (n, 2, 2) of its outline; None when it fills the window.
        even_odd: How holes are told.
        windows: The clips in force.
        box: What it reaches: lower left and upper right corner (2, 2).
        time: When it is painted.
    """

    sides: Floats | None
    even_odd: bool
    windows: Floats
    box: Floats
    time: tuple[int, ...]

    def holds(self, points: Floats) -> Bools:
        """Which points (n, 2) it lies over."""
        inside: Bools = np.all(points @ self.windows[:, :2].T <= self.windows[:, 2], axis=1)
        if self.sides is None:
            return inside
        among = np.flatnonzero(inside)
        step = max(1, _MOST_AT_ONCE // max(len(self.sides), 1))
        for first in range(0, len(among), step):
            some = among[first : first + step]
            turns = _turns(points[some], self.sides)
            inside[some] = turns % 2 != 0 if self.even_odd else turns != 0
        return inside


def covered(
    page: Sequence[Placed],
    uses: Sequence[Showing],
    known: Known,
    expected: Expected,
    measured: Measured,
    origin: Point,
) -> Bools:
    """Which of the segments on a page have something painted over them, inside its window.

    Args:
        page: Everything drawn on the page.
        uses: The pattern's drawings among it.
        known: The layers of the file.
        expected: What the pattern wants.
        measured: Which segments come into the window.
        origin: Where the page's lower left corner lies on the sheet, mm.
    """
    hidden = np.zeros(len(measured.segment), dtype=bool)
    painted: dict[int, tuple[int, ...]] = {}
    for use in uses:
        if len(use.drawing.segments):
            layer = int(expected.layer[use.drawing.segments[0]])
            painted[layer] = min(use.time, painted.get(layer, use.time))
    if not painted:
        return hidden
    areas = [area for area in _areas(page, known) if area.time > min(painted.values())]
    if not areas:
        return hidden
    chord = measured.entering.chord
    start, end = expected.starts[chord] - origin, expected.ends[chord] - origin
    along = end - start
    start, end = (
        start + along * measured.entering.low[:, None],
        start + along * measured.entering.high[:, None],
    )
    low, high = np.minimum(start, end), np.maximum(start, end)
    layer_of = expected.layer[expected.chord_of[chord]]
    place = np.searchsorted(measured.segment, expected.chord_of[chord])
    for area in areas:
        near = np.all((low <= area.box[1]) & (high >= area.box[0]), axis=1)
        if not near.any():
            continue
        before = [layer for layer, time in painted.items() if time < area.time]
        which = np.flatnonzero(near & np.isin(layer_of, before))
        points, of = _along(start[which], end[which])
        hidden[place[which[of[area.holds(points)]]]] = True
    return hidden


def _areas(page: Sequence[Placed], known: Known) -> Iterator[_Area]:
    for placed in page:
        for cover in placed.ink.covers:
            windows = np.concatenate([placed.window, moved_window(cover.window, placed.matrix)])
            time = (*placed.time, cover.time)
            if cover.sides is None:
                box = np.array([[-np.inf, -np.inf], [np.inf, np.inf]])
                yield _Area(None, cover.even_odd, windows, box, time)
            elif len(cover.sides):
                sides = mapped(cover.sides, placed.matrix)
                corners = sides.reshape(-1, 2)
                box = np.stack([corners.min(axis=0), corners.max(axis=0)])
                if not _arrowhead(placed, cover, box, known):
                    yield _Area(sides, cover.even_odd, windows, box, time)


def _arrowhead(placed: Placed, cover: Cover, box: Floats, known: Known) -> bool:
    """Whether it may lie on a line: small and dark, and part of a piece."""
    return (
        cover.dark
        and known.of_piece(placed.mark(cover.mark).layers)
        and float(np.max(box[1] - box[0])) <= ARROW
    )


def _along(start: Floats, end: Floats) -> tuple[Floats, Ints]:
    """Points along chords (n, 2), and which chord each is on."""
    counts = np.maximum(np.ceil(sizes(end - start) / _STEP), 1).astype(np.int64)
    of = np.repeat(np.arange(len(start)), counts)
    step = np.arange(len(of)) - np.repeat(np.cumsum(counts) - counts, counts)
    t = ((step + 0.5) / counts[of])[:, None]
    return start[of] + (end[of] - start[of]) * t, of


def _turns(points: Floats, sides: Floats) -> Ints:
    """How often an outline (n, 2, 2) goes round each of some points (winding number).

    Every side that crosses the level of a point on its right counts, upwards 1, downwards -1
    (ISO 32000-1, 8.5.3.3.2).
    """
    x, y = points[:, :1], points[:, 1:]
    (x0, y0), (x1, y1) = sides[:, 0].T, sides[:, 1].T
    up, down = (y0 <= y) & (y1 > y), (y1 <= y) & (y0 > y)
    left = (x1 - x0) * (y - y0) - (x - x0) * (y1 - y0)
    turns: Ints = np.sum(up & (left > 0), axis=1) - np.sum(down & (left < 0), axis=1)
    return turns
