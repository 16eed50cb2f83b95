"""The pattern's lines as they are drawn: every form told once, every use of it on a page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.model import styles_in
from tiler.proof.expected import SHORTEST, Expected
from tiler.proof.geometry import Bools, Floats, Ints, comes_into, mapped, sizes
from tiler.proof.ink import Unseen
from tiler.proof.known import Known
from tiler.proof.matching import Match, match
from tiler.proof.placing import THINNEST, Placed
from tiler.proof.record import Record
from tiler.proof.verdict import Fault

#: The widest that pattern lines are, and the longest gap between their dashes, mm.
WIDEST = 2.0
LONGEST_GAP = 5.0
#: Widths come out of numbers with a few digits.
_SLACK = 1e-6
_TRIES = 6
_GOOD = 0.01


@dataclass(frozen=True, slots=True)
class Drawing:
    """The lines of one layer in one form.

    Args:
        strokes: Control points (n, 4, 2) in the form's space.
        unseen: For each, `Unseen` flags.
        nib: For each, the index of how wide it is drawn.
        segments: Indices of the expected segments of the layer, ascending.
        match: Which is which, with indices into `segments` and `strokes`.
        truth: The form's space to sheet mm, where it was matched.
    """

    strokes: Floats
    unseen: Ints
    nib: Ints
    segments: Ints
    match: Match
    truth: Affine


@dataclass(frozen=True, slots=True)
class Showing:
    """A drawing on a page.

    Args:
        drawing: What is drawn.
        layer: What its layers are called, from the outside in.
        matrix: Its space to page mm.
        window: What shows of it, page mm.
        unseen: For each stroke of the drawing, `Unseen` flags.
        time: When it is painted.
    """

    drawing: Drawing
    layer: str
    matrix: Affine
    window: Floats
    unseen: Ints
    time: tuple[int, ...]

    def shows(self, strokes: Bools) -> bool:
        """Whether any of some strokes comes into the window."""
        curves = mapped(self.drawing.strokes[strokes], self.matrix)
        return bool(comes_into(curves, self.window).any())

    def drift(self, corners: Floats, origin: Affine) -> float:
        """How far what shows in a page's corners lies from where the same form was matched."""
        to_sheet = self.matrix.then(origin)
        linear = np.array([[to_sheet.a, to_sheet.b], [to_sheet.c, to_sheet.d]])
        if to_sheet.determinant == 0:
            return float("inf")
        on_sheet = mapped(corners, origin)
        inside = (on_sheet - np.array([to_sheet.e, to_sheet.f])) @ np.linalg.inv(linear)
        return float(sizes(mapped(inside, self.drawing.truth) - on_sheet).max())


@dataclass(frozen=True, slots=True)
class _Spot:
    page: int
    placed: Placed
    strokes: Ints
    layers: tuple[int, ...]


def pattern_uses(
    known: Known,
    record: Record,
    expected: Expected,
    pages: Sequence[list[Placed]],
) -> tuple[list[list[Showing]], list[Fault]]:
    """The pattern's drawings on every page of the record, and lines in no layer of the pattern.

    Args:
        known: The layers of the file.
        record: What it says of itself.
        expected: What the pattern wants.
        pages: For each page of the record, everything drawn on it.
    """
    ids = {
        (piece, frozenset(styles_in(style))): index
        for index, (piece, style) in enumerate(expected.layers)
    }
    spots: dict[tuple[object, tuple[int, ...]], list[_Spot]] = {}
    faults: list[Fault] = []
    for number, page in enumerate(pages):
        name = record.pages[number].name
        for placed in page:
            for chain, strokes in _lines(placed):
                if known.holds(chain) is not None:
                    at = (placed.key or number, chain)
                    spots.setdefault(at, []).append(_Spot(number, placed, strokes, chain))
                else:
                    faults.append(Fault("extra", name, known.stranger(chain)))
    uses: list[list[Showing]] = [[] for _ in pages]
    for (_, chain), group in spots.items():
        layer = known.words(chain)
        holding = known.holds(chain)
        wanted = -1 if holding is None else ids.get(holding, -1)
        segments = np.flatnonzero(expected.layer == wanted)
        drawing = _drawing(group, record, expected, segments)
        unseen: dict[object, Ints] = {}
        for spot in group:
            placed = spot.placed
            like = (placed.matrix[:4], placed.width, placed.gap)
            if like not in unseen:
                unseen[like] = drawing.unseen | _nib_flags(placed)[drawing.nib]
            uses[spot.page].append(
                Showing(drawing, layer, placed.matrix, placed.window, unseen[like], placed.time)
            )
    return uses, faults


def _lines(placed: Placed) -> list[tuple[tuple[int, ...], Ints]]:
    """Strokes that are no furniture, by the layers that they stand in."""
    ink = placed.ink
    if not len(ink.strokes) or placed.around.furniture:
        return []
    found: dict[tuple[int, ...], list[Ints]] = {}
    for index in np.unique(ink.mark):
        mark = placed.mark(int(index))
        if not mark.furniture:
            chain = mark.layers if index >= 0 else placed.layers
            found.setdefault(chain, []).append(np.flatnonzero(ink.mark == index))
    return [(chain, np.concatenate(parts)) for chain, parts in found.items()]


def _drawing(group: Sequence[_Spot], record: Record, expected: Expected, segments: Ints) -> Drawing:
    """Match a form where it fits best: one page may be off its place, hardly all of them."""
    best: tuple[Match, Affine] | None = None
    strokes = group[0].placed.ink.strokes[group[0].strokes]
    unseen = group[0].placed.ink.unseen[group[0].strokes]
    scale = abs(group[0].placed.matrix.determinant) ** 0.5
    seen = np.ptp(strokes, axis=1).max(axis=1) * scale >= SHORTEST
    strokes, unseen = strokes[seen], unseen[seen]
    nib = group[0].placed.ink.nib[group[0].strokes][seen]
    for spot in group[:: max(1, len(group) // _TRIES)][:_TRIES]:
        truth = spot.placed.matrix.then(Affine.move(*record.pages[spot.page].origin))
        found = match(mapped(strokes, truth), expected.curves[segments])
        if best is None or found.cost < best[0].cost:
            best = found, truth
        if found.cost[0] == 0 and float(found.distance.max(initial=0)) <= _GOOD:
            break
    if best is None:
        raise AssertionError("a drawing is on one page at least")
    return Drawing(strokes, unseen, nib, segments, *best)


def _nib_flags(placed: Placed) -> Ints:
    """For each nib of a drawing, `Unseen` flags."""
    least, greatest, gap = placed.nib_sizes().T
    flags: Ints = np.where(least < THINNEST - _SLACK, int(Unseen.THIN), 0)
    flags |= np.where(greatest > WIDEST + _SLACK, int(Unseen.THICK), 0)
    flags |= np.where(gap > LONGEST_GAP + _SLACK, int(Unseen.GAPS), 0)
    return flags
