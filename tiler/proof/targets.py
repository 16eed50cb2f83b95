"""Written pages of target cards read back: the bars, and every square and marker on the cards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tiler.proof.document import Document, Paper, open_document
from tiler.proof.geometry import Floats, mapped
from tiler.proof.placing import Marked, Placed, marked_strokes, unfold
from tiler.proof.verdict import Fault

#: What a length or a place may be off by, mm; and the sides of the paper.
_TRUE = 0.01
#: Nothing that is needed is nearer to the edge, mm; a line's own width aside.
_MARGIN = 10.0
#: A card: squares along its sides, sides of a square and of a marker, white round them, mm.
_COLUMNS, _ROWS = 8, 5
_SQUARE, _MARKER, _RIM = 21.0, 15.0, 6.0
#: The bars across and up, mm.
_BARS = (190.0, 240.0)
#: Strokes of a bar's end marks.
_ENDS = 2


@dataclass(frozen=True, slots=True)
class ExpectedCards:
    """What the pages are to be.

    Args:
        width: Of the paper, mm.
        height: Of the paper, mm.
        places: For each page, where the cards are cut out: their lower left corners, mm.
    """

    width: float
    height: float
    places: tuple[tuple[tuple[float, float], ...], ...]


def target_faults(pdf: Path, expected: ExpectedCards) -> list[Fault]:
    """Everything on pages of target cards that would make a photo measure wrongly.

    The bars are as long as they say and each black square and marker of each card is where it
    should be, to 0.01 mm; nothing else that is dark lies on a card, and nothing covers it.

    Args:
        pdf: The written pages.
        expected: What they should be.

    Raises:
        FileError: The file cannot be read, or is damaged.
    """
    document = open_document(pdf)
    faults = []
    if document.scaled:
        faults.append(Fault("page", "", "it lets the viewer print it at another size"))
    if len(document.papers) != len(expected.places):
        count = f"{len(document.papers)} and not {len(expected.places)} pages"
        return [*faults, Fault("page", "", f"it has {count}")]
    for paper, places in zip(document.papers, expected.places, strict=True):
        faults += _page_faults(document, paper, expected, places, str(pdf))
    return faults


def _page_faults(
    document: Document,
    paper: Paper,
    expected: ExpectedCards,
    places: tuple[tuple[float, float], ...],
    where: str,
) -> Iterator[Fault]:
    for text in paper.oddities:
        yield Fault("page", paper.label, text)
    if max(abs(paper.width - expected.width), abs(paper.height - expected.height)) > _TRUE:
        size = f"{paper.width:.2f} x {paper.height:.2f} mm"
        yield Fault("page", paper.label, f"the page is {size}, which is not the paper's size")
    page = unfold(document, paper, where)
    sides = np.array([expected.width, expected.height])
    yield from _bar_faults(page, sides, paper.label)
    dark, light = _areas(page)
    if light:
        yield Fault("card", paper.label, "something that is not black is painted over the page")
    for place in places:
        yield from _card_faults(dark, np.array(place), sides, paper.label)


def _bar_faults(page: list[Placed], sides: Floats, label: str) -> Iterator[Fault]:
    lengths = [drawn for drawn in marked_strokes(page) if drawn.mark.measure is not None]
    for axis, wanted in enumerate(_BARS):
        name = f"bar of {wanted:g} mm {('across', 'up')[axis]}"
        own = [drawn for drawn in lengths if _runs(drawn) == axis]
        if sorted(len(drawn.strokes) for drawn in own) != [1, _ENDS]:
            yield Fault("length", label, f"the {name} is not there, or not all of it")
        for drawn in own:
            points = drawn.strokes.reshape(-1, 2)
            middles = drawn.strokes[:, [0, 3]].mean(axis=1)
            spread = (np.ptp(points, axis=0)[axis], np.ptp(middles, axis=0)[axis])
            found = spread[0] if len(drawn.strokes) == 1 else max(spread)
            off = abs(float(found) - wanted)
            if not off <= _TRUE:
                yield Fault("length", label, f"the {name} is off by {off:.2f} mm", off)
            if not drawn.seen:
                yield Fault("length", label, f"the {name} does not show, or not all of it")
            room = float(min(points.min(), (sides - points).min()))
            if room < _MARGIN - _TRUE:
                yield Fault("length", label, f"the {name} is {room:.2f} mm from the edge")


def _runs(drawn: Marked) -> int:
    """0 for a bar across, 1 for one up."""
    assert drawn.mark.measure is not None
    return int(drawn.mark.measure[1] > drawn.mark.measure[0])


def _card_faults(dark: list[Floats], place: Floats, sides: Floats, label: str) -> Iterator[Fault]:
    """What is wrong on one card; `place` is the lower left corner of what is cut out."""
    size = np.array([_COLUMNS, _ROWS]) * _SQUARE + 2 * _RIM
    if min(place.min(), (sides - place - size).min()) < _MARGIN - _TRUE:
        yield Fault("card", label, "a card reaches into the margin")
    own = [
        box
        for box in dark
        if np.all(box[1] > place + _TRUE) and np.all(box[0] < place + size - _TRUE)
    ]
    # Those of a marker's cells that hang by nothing but a corner lie inside of its box.
    for column in range(_COLUMNS):
        for row in range(_ROWS):
            # Black in the upper left corner, as OpenCV's board has it.
            black = (column + _ROWS - 1 - row) % 2 == 0
            low = place + _RIM + np.array([column, row]) * _SQUARE
            inset = 0.0 if black else (_SQUARE - _MARKER) / 2
            wanted = np.array([low + inset, low + _SQUARE - inset])
            off = min((float(np.abs(box - wanted).max()) for box in own), default=np.inf)
            if not off <= _TRUE:
                name = "square" if black else "marker"
                yield Fault("card", label, f"a {name} of a card is not where it should be")
            own = [
                box
                for box in own
                if not (np.all(box[0] >= wanted[0] - _TRUE) and np.all(box[1] <= wanted[1] + _TRUE))
            ]
    if own:
        yield Fault("card", label, "something dark lies on a card that does not belong there")


def _areas(page: list[Placed]) -> tuple[list[Floats], bool]:
    """Boxes (2, 2) of the rings of all dark areas, page mm, and whether there are other areas."""
    boxes, light = [], False
    for placed in page:
        for cover in placed.ink.covers:
            if not cover.dark or cover.sides is None:
                light = True
            elif len(cover.sides):
                sides = mapped(cover.sides, placed.matrix)
                # A ring ends where the next side does not begin at the end of the one before.
                apart = np.any(np.abs(sides[1:, 0] - sides[:-1, 1]) > 1e-9, axis=1)
                for ring in np.split(sides, np.flatnonzero(apart) + 1):
                    points = ring.reshape(-1, 2)
                    boxes.append(np.array([points.min(axis=0), points.max(axis=0)]))
    return boxes, light
