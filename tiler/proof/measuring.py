"""Every line of the pattern measured on every page that it enters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from tiler.pattern.affine import Affine
from tiler.proof.drawn import Showing
from tiler.proof.expected import CHORD_ERROR, Entering, Expected
from tiler.proof.geometry import (
    Bools,
    Floats,
    Ints,
    between,
    box_window,
    grown_window,
    mapped,
    moved_window,
    sizes,
    spans,
)
from tiler.proof.ink import UNSEEN_WORDS, Unseen
from tiler.proof.matching import REACH
from tiler.proof.record import Record
from tiler.proof.verdict import Fault, millimetres

#: A line that only touches the edge of a window need not be drawn there, mm.
EDGE = 0.01

_Words = Callable[[int], str]


@dataclass(frozen=True, slots=True)
class Measured:
    """One page against the pattern, the page lying where the record says.

    Args:
        page: Index of the page in the record.
        entering: The chords of the pattern that come into its window.
        segment: The segments that they belong to.
        use: For each segment, the index of the drawing that draws it best; -1 when none does.
        off: Drawn minus expected: control points (n, 4, 2) of the part in the window.
        unseen: For each segment, `Unseen` flags.
        strays: Drawings that show lines elsewhere than where they belong: (index, mm or nan).
    """

    page: int
    entering: Entering
    segment: Ints
    use: Ints
    off: Floats
    unseen: Ints
    strays: tuple[tuple[int, float], ...]

    @property
    def offset(self) -> Floats:
        """How far the lines of this page typically lie from the pattern, (2,) mm."""
        found = self.off[self.use >= 0].mean(axis=1)
        return np.median(found, axis=0) if len(found) else np.full(2, np.nan)

    def hiding(self, covered: Bools) -> Measured:
        """The same with some of its segments painted over."""
        flags = np.where(covered, int(Unseen.COVERED), 0)
        return replace(self, unseen=self.unseen | flags)


def measure(
    record: Record, expected: Expected, page: int, uses: Sequence[Showing], tolerance: float
) -> Measured:
    """Measure one page as it lies by the record."""
    origin = Affine.move(*record.pages[page].origin)
    window = moved_window(box_window(*record.window), origin)
    entering = expected.entering(grown_window(window, -EDGE - CHORD_ERROR))
    segment, low, high = entering.segments(expected)
    best = np.full(len(segment), np.inf)
    use_of = np.full(len(segment), -1, dtype=np.int64)
    off = np.full((len(segment), 4, 2), np.nan)
    unseen = np.zeros(len(segment), dtype=np.int64)
    drifts: list[float] = []
    for number, use in enumerate(uses):
        drifts.append(use.drift(np.array(record.window.corners(), dtype=float), origin))
        drawing = use.drawing
        if not len(drawing.segments):
            continue
        local = np.searchsorted(drawing.segments, segment)
        local = np.minimum(local, len(drawing.segments) - 1)
        here = np.flatnonzero((drawing.segments[local] == segment) & (drawing.match.of[local] >= 0))
        if not len(here):
            continue
        local = local[here]
        stroke = drawing.match.of[local]
        points = drawing.strokes[stroke]
        flipped = drawing.match.flipped[local]
        points[flipped] = points[flipped, ::-1]
        astray = mapped(points, use.matrix.then(origin)) - expected.curves[segment[here]]
        part = between(astray, low[here], high[here])
        worst = sizes(part).max(axis=1)
        better = worst < best[here]
        here, part = here[better], part[better]
        best[here], use_of[here], off[here] = worst[better], number, part
        unseen[here] = use.unseen[stroke[better]]
    return Measured(
        page, entering, segment, use_of, off, unseen, _strays(uses, use_of, drifts, tolerance)
    )


def _strays(
    uses: Sequence[Showing], use_of: Ints, drifts: Sequence[float], tolerance: float
) -> tuple[tuple[int, float], ...]:
    """Lines that belong to nothing, and second copies off their place."""
    strays: list[tuple[int, float]] = []
    used = set(use_of.tolist())
    for number, use in enumerate(uses):
        found = use.drawing.match
        alone = ~found.chosen & (found.nearest > tolerance)
        if alone.any() and use.shows(alone):
            strays.append((number, float("nan")))
        elif drifts[number] > tolerance and number not in used and use.shows(~alone):
            strays.append((number, drifts[number]))
    return tuple(strays)


@dataclass(frozen=True, slots=True)
class PageOutcome:
    """What a page comes to: its worst line and its faults."""

    worst: float
    worst_words: str
    faults: tuple[Fault, ...]


def judge(
    record: Record,
    expected: Expected,
    measured: Measured,
    uses: Sequence[Showing],
    error: Floats,
    tolerance: float,
) -> PageOutcome:
    """Judge a page as it lies when the pages are joined.

    Args:
        record: What the file says of itself.
        expected: What the pattern wants.
        measured: The page by the record.
        uses: The drawings on it.
        error: How far the crosses put the page off its recorded origin (2,), mm.
        tolerance: Millimetres that count as true to size.
    """
    name = record.pages[measured.page].name
    found = measured.use >= 0
    distance = np.full(len(found), np.inf)
    distance[found] = sizes(measured.off[found] + error).max(axis=1)
    there = distance <= REACH
    teller = _Teller(name, expected, measured.segment)
    teller.tell(
        "missing", ~there, lambda _: "is missing", lambda more: f"and so {_are(more)} {_more(more)}"
    )
    moved = there & (distance > tolerance)
    teller.tell(
        "moved",
        moved,
        lambda at: f"is {millimetres(float(distance[at]))} off",
        lambda more: f"and {_more(more)} with it",
        distance,
    )
    for flag, words in UNSEEN_WORDS.items():
        unseen = there & ((measured.unseen & int(flag)) != 0)
        teller.tell(
            "hidden",
            unseen,
            partial(_unseen, words),
            lambda more: f"and so {_are(more)} {_more(more)}",
        )
    cut = _cut(record, expected, measured, uses, error)
    teller.tell(
        "clipped",
        there & (cut > 0),
        lambda at: f"is cut short by {millimetres(float(cut[at]))} by a window that is too small",
        lambda more: f"and so {_are(more)} {_more(more)}",
        cut,
        measure=False,
    )
    faults = teller.faults
    for number, drift in measured.strays:
        layer = uses[number].layer
        if np.isnan(drift):
            text = f"there are lines in the layer {layer!r} that the pattern does not have"
            faults.append(Fault("extra", name, text))
        else:
            text = f"the layer {layer!r} is drawn once more, {millimetres(drift)} off its place"
            faults.append(Fault("extra", name, text, drift))
    if not there.any():
        return PageOutcome(0.0, "", tuple(faults))
    at = int(np.argmax(np.where(there, distance, -1.0)))
    words = f"{expected.words(int(measured.segment[at]))}, page {name}"
    return PageOutcome(float(distance[at]), words, tuple(faults))


def _cut(
    record: Record,
    expected: Expected,
    measured: Measured,
    uses: Sequence[Showing],
    error: Floats,
) -> Floats:
    """For each segment, the millimetres in the page's window that its drawing's clip hides."""
    cut = np.zeros(len(measured.segment))
    origin = Affine.move(*record.pages[measured.page].origin)
    laid = Affine.move(*(np.array(record.pages[measured.page].origin) + error))
    wanted = mapped(np.array(record.window.grown(-EDGE).corners(), dtype=float), origin)
    of_chord = np.searchsorted(measured.segment, expected.chord_of[measured.entering.chord])
    for number in np.unique(measured.use[measured.use >= 0]):
        window = grown_window(moved_window(uses[number].window, laid), EDGE)
        if not np.any(wanted @ window[:, :2].T > window[:, 2]):
            continue
        mine = np.flatnonzero(measured.use[of_chord] == number)
        chord = measured.entering.chord[mine]
        low, high = spans(expected.starts[chord], expected.ends[chord], window)
        size = sizes(expected.ends[chord] - expected.starts[chord])
        want = measured.entering.high[mine] - measured.entering.low[mine]
        have = np.minimum(high, measured.entering.high[mine]) - np.maximum(
            low, measured.entering.low[mine]
        )
        lost = (want - np.clip(have, 0, want)) * size
        lost[lost < 1e-6] = 0
        np.add.at(cut, of_chord[mine], lost)
    return cut


class _Teller:
    """One fault for each kind and layer on a page: the worst line by name, the rest counted."""

    def __init__(self, page: str, expected: Expected, segment: Ints) -> None:
        self.page, self.expected, self.segment = page, expected, segment
        self.layer = expected.layer[segment]
        self.faults: list[Fault] = []

    def tell(
        self,
        code: str,
        wrong: Bools,
        first: _Words,
        others: _Words,
        size: Floats | None = None,
        *,
        measure: bool = True,
    ) -> None:
        for layer in np.unique(self.layer[wrong]):
            which = np.flatnonzero(wrong & (self.layer == layer))
            at = int(which[np.argmax(size[which])] if size is not None else which[0])
            words = self.expected.words(int(self.segment[at]))
            text = f"{words}{',' if ', edge ' in words else ''} {first(at)}"
            named = self.expected.thing[self.segment[at]]
            more = len(set(self.expected.thing[self.segment[which]].tolist()) - {int(named)})
            if more:
                text += f", {others(more)}"
            deviation = float(size[at]) if size is not None and measure else None
            self.faults.append(Fault(code, self.page, text, deviation))


def _unseen(words: str, _: int) -> str:
    return f"does not show: {words}"


def _more(count: int) -> str:
    return "one more" if count == 1 else f"{count:,} more"


def _are(count: int) -> str:
    return "is" if count == 1 else "are"
