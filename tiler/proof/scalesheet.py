"""A written calibration page read back: every length on it that a rule is laid on."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from tiler.proof.document import open_document
from tiler.proof.geometry import Floats, mapped
from tiler.proof.placing import Marked, Placed, marked_strokes, unfold
from tiler.proof.verdict import Fault

#: What a length may be off by, mm; and the sides of the paper.
_TRUE = 0.01
#: Nothing that is measured is nearer to the edge, mm; a line's own width aside.
_MARGIN = 10.0
_SQUARES = (100.0, 101.6)
#: Strokes of one bar's end marks, and of the two crosses of a diagonal.
_ENDS, _CROSSES = 2, 4
#: Where a stroke is looked at for something that lies over it.
_ALONG = np.linspace(0.0, 1.0, 41)


@dataclass(frozen=True, slots=True)
class Expected:
    """What a calibration page is to be.

    Args:
        width: Of the paper, mm.
        height: Of the paper, mm.
        across: What the printer makes of a millimetre across; 1 when nothing is made up for.
        up: The same up the page.
    """

    width: float
    height: float
    across: float = 1.0
    up: float = 1.0

    def printed(self, points: Floats) -> Floats:
        """Where the printer puts places of the page, mm: it errs about the middle of the paper."""
        middle = np.array([self.width, self.height]) / 2
        put: Floats = middle + (points - middle) * np.array([self.across, self.up])
        return put

    @property
    def bars(self) -> tuple[float, float]:
        """The longest whole tens of millimetres within the margin, across and up."""
        across, up = (math.floor((side - 2 * _MARGIN) / 10) * 10.0 for side in self.sides)
        return across, up

    @property
    def sides(self) -> tuple[float, float]:
        """Of the paper, mm."""
        return self.width, self.height


def scale_sheet_faults(pdf: Path, expected: Expected) -> list[Fault]:
    """Everything on a calibration page that would mislead whoever measures it.

    Bars, squares and the crosses of the diagonals are measured as the printer leaves them: each
    as long as it says to 0.01 mm, all of them there, visible, and clear of the paper's edge.

    Args:
        pdf: The written page.
        expected: What it should be.

    Raises:
        FileError: The file cannot be read, or is damaged.
    """
    document = open_document(pdf)
    if len(document.papers) != 1:
        return [Fault("page", "", f"it has {len(document.papers)} pages and should have one")]
    (paper,) = document.papers
    faults = [Fault("page", "", text) for text in paper.oddities]
    if document.scaled:
        faults.append(Fault("page", "", "it lets the viewer print it at another size"))
    if max(abs(paper.width - expected.width), abs(paper.height - expected.height)) > _TRUE:
        size = f"{paper.width:.2f} x {paper.height:.2f} mm"
        faults.append(Fault("page", "", f"the page is {size}, which is not the paper's size"))
    page = unfold(document, paper, str(pdf))
    lengths = [drawn for drawn in marked_strokes(page) if drawn.mark.measure is not None]
    covers = _light_areas(page)
    for drawn in lengths:
        faults += _length_faults(drawn, expected, covers)
    return faults + _missing(lengths, expected)


def _length_faults(drawn: Marked, expected: Expected, covers: list[Floats]) -> list[Fault]:
    """What is wrong with one bar, square or diagonal."""
    assert drawn.mark.measure is not None
    claimed = np.array(drawn.mark.measure)
    name = _words(*drawn.mark.measure)
    points = expected.printed(drawn.strokes)
    faults = []
    off = float(np.abs(_size(points, drawn.mark.measure) - claimed).max())
    if not off <= _TRUE:
        faults.append(Fault("length", "", f"the {name} is off by {off:.2f} mm", off))
    if not drawn.seen or any(_lies_over(cover, drawn.strokes) for cover in covers):
        faults.append(Fault("length", "", f"the {name} does not show, or not all of it"))
    # An end mark stands with its middle on the end of its bar.
    flat = points[:, [0, 3]].mean(axis=1) if len(points) > 1 else points.reshape(-1, 2)
    room = min(flat.min(), (np.array(expected.sides) - flat).min())
    if room < _MARGIN - _TRUE:
        faults.append(Fault("length", "", f"the {name} is {room:.2f} mm from the edge"))
    return faults


def _size(points: Floats, claimed: tuple[float, float]) -> Floats:
    """Width and height, between the middles of the lines that a rule is laid on.

    A square is as large as its corners are apart. Of end marks and crosses the middles count, of
    end marks also the whole of them in the direction of the bar: they stand at right angles to it.
    """
    corners: Floats = np.ptp(points.reshape(-1, 2), axis=0)
    if len(points) == 1 or _is_square(claimed):
        return corners
    middles: Floats = np.ptp(points[:, [0, 3]].mean(axis=1), axis=0)
    if len(points) == _ENDS:
        along = int(claimed[1] > 0)
        middles[along] = max(middles[along], corners[along], key=lambda d: abs(d - claimed[along]))
    return middles


def _missing(lengths: list[Marked], expected: Expected) -> list[Fault]:
    """Bars, squares and diagonals that are not there."""
    across, up = expected.bars
    wanted = [
        *(((across, 0.0), count) for count in (1, _ENDS)),
        *(((0.0, up), count) for count in (1, _ENDS)),
        *(((side, side), 4) for side in _SQUARES),
    ]
    faults = [
        Fault("length", "", f"the {_words(*size)} is not there, or not all of it")
        for size, count in wanted
        if not any(_is(drawn, size) and len(drawn.strokes) == count for drawn in lengths)
    ]
    crossed = [drawn for drawn in lengths if _is_diagonal(drawn)]
    slopes = sorted(_slope(drawn.strokes) for drawn in crossed)
    if slopes != [-1, 1]:
        faults.append(Fault("length", "", "there are not two crossing diagonals"))
        return faults
    middles = [drawn.strokes[:, [0, 3]].mean(axis=(0, 1)) for drawn in crossed]
    if np.abs(middles[0] - middles[1]).max() > _TRUE or not _is(
        crossed[0], crossed[1].mark.measure or (0.0, 0.0)
    ):
        faults.append(Fault("length", "", "the diagonals are not those of one rectangle"))
    return faults


def _slope(strokes: Floats) -> int:
    """1 for a diagonal that rises to the right, -1 for one that falls, 0 for anything else."""
    middles = strokes[:, [0, 3]].mean(axis=1)
    centre = middles.mean(axis=0)
    sides = np.sign(np.prod(middles - centre, axis=1))
    # Both arms of a cross have the same middle.
    spread = np.abs(np.abs(middles - centre) - np.abs(middles - centre).mean(axis=0)).max()
    return int(sides[0]) if np.all(sides == sides[0]) and spread <= _TRUE else 0


def _light_areas(page: list[Placed]) -> list[Floats]:
    """Bounding boxes (2, 2), page mm, of all areas that are not painted dark."""
    boxes = []
    for placed in page:
        for cover in placed.ink.covers:
            if cover.dark:
                continue
            if cover.sides is None:
                boxes.append(np.array([[-np.inf, -np.inf], [np.inf, np.inf]]))
            elif len(cover.sides):
                corners = mapped(cover.sides, placed.matrix).reshape(-1, 2)
                boxes.append(np.array([corners.min(axis=0), corners.max(axis=0)]))
    return boxes


def _lies_over(box: Floats, strokes: Floats) -> bool:
    """Whether an area meets one of some straight strokes."""
    ends = strokes[:, [0, 3]]
    spots = ends[:, :1] + _ALONG[None, :, None] * (ends[:, 1:] - ends[:, :1])
    return bool(np.any(np.all((spots >= box[0]) & (spots <= box[1]), axis=-1)))


def _is(drawn: Marked, size: tuple[float, float]) -> bool:
    claimed = drawn.mark.measure or (-1.0, -1.0)
    return max(abs(claimed[0] - size[0]), abs(claimed[1] - size[1])) <= _TRUE


def _is_square(claimed: tuple[float, float]) -> bool:
    return any(max(abs(side - claimed[0]), abs(side - claimed[1])) <= _TRUE for side in _SQUARES)


def _is_diagonal(drawn: Marked) -> bool:
    claimed = drawn.mark.measure or (0.0, 0.0)
    return min(claimed) > 0 and not _is_square(claimed) and len(drawn.strokes) == _CROSSES


def _words(width: float, height: float) -> str:
    if _is_square((width, height)):
        return f"square of {width:g} mm"
    if width and height:
        return f"diagonal of {math.hypot(width, height):g} mm"
    return f"bar of {max(width, height):g} mm {'across' if width else 'up'}"
