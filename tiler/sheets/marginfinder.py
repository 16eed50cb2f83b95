"""Combs along the four sides: the shortest tooth with a whole foot is how near a printer prints."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Words
from tiler.sheets.lettering import SMALL, height_of
from tiler.sheets.pens import TICK
from tiler.sheets.scaleframe import PITCH_ACROSS, PITCH_UP, TEETH, ScaleFrame

#: Where the teeth begin, from the paper's edge, and where their numbers do, millimetres.
_ROOT, _NUMBERS = 16.2, 16.9
#: A foot: how wide it is along the edge, and how thick.
_FOOT, _THICK = 2.4, 0.6
#: How high the example is, millimetres.
EXAMPLE = 12.5


def reach_of(pitch: float) -> float:
    """Half of the length that a comb takes along its side, millimetres."""
    return ((TEETH - 1) * pitch + _FOOT) / 2


def draw_combs(frame: ScaleFrame) -> list[Item]:
    """All four combs, page coordinates."""
    paper = frame.paper
    bottom, right, top, left = frame.combs
    return [
        *_comb(Affine.move(bottom, 0), PITCH_ACROSS, "middle", 0.0),
        *_comb(Affine(0, 1, -1, 0, paper.width, right), PITCH_UP, "end", 0.5),
        *_comb(Affine(1, 0, 0, -1, top, paper.height), PITCH_ACROSS, "middle", 1.0),
        *_comb(Affine(0, 1, 1, 0, 0, left), PITCH_UP, "start", 0.5),
    ]


def _comb(place: Affine, pitch: float, anchor: str, drop: float) -> list[Item]:
    """One comb.

    Args:
        place: From a frame with the paper's edge along x and the paper above it.
        pitch: From tooth to tooth.
        anchor: Which end of the numbers stands at the teeth.
        drop: How far the numbers' baseline lies below that point, as a share of their height.
    """
    teeth, feet, numbers = [], [], list[Item]()
    for number in range(TEETH):
        along = (number - (TEETH - 1) / 2) * pitch
        teeth.append(polyline([Point(along, number), Point(along, _ROOT)]).moved(place))
        foot = Bounds(along - _FOOT / 2, number, along + _FOOT / 2, number + _THICK)
        feet.append(rectangle(foot.moved(place)))
        x, y = place(Point(along, _NUMBERS))
        at = Point(x, y - drop * height_of(SMALL))
        numbers.append(Words(str(number), at, SMALL, anchor=anchor))
    return [Group((Stroke(tuple(teeth), TICK), Fill(tuple(feet), 0.0)), furniture=True), *numbers]


def draw_example(at: Point, words: str) -> list[Item]:
    """A small comb as a printer with a margin of 4.4 mm leaves it, which reads 5.

    Args:
        at: Its lower left corner; it is `EXAMPLE` high.
        words: What it reads.
    """
    pitch, half, margin, root = 2.8, 1.0, 4.4, 9.6
    teeth, feet, items = [], [], list[Item]()
    for number in range(9):
        x = at.x + half + number * pitch
        foot = Bounds(x - half, at.y + max(number, margin), x + half, at.y + number + _THICK)
        teeth.append(polyline([Point(x, foot.bottom), Point(x, at.y + root)]))
        if foot.height > 0:
            feet.append(rectangle(foot))
        level = Point(x, at.y + root + 0.7)
        items.append(Words(str(number), level, SMALL, anchor="middle", bold=number == 5))
    beside = Point(at.x + 9 * pitch + 1, at.y + 5.5)
    items.append(Words(words, beside, SMALL))
    return [Stroke(tuple(teeth), TICK), Fill(tuple(feet), 0.0), *items]
