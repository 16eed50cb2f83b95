"""What stands beside a joint: its number, the page that meets there, and what to do."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import Bodies
from tiler.sheets.drawing import Words
from tiler.sheets.lanes import Beside, Lane, first_place
from tiler.sheets.lettering import LARGE, depth_of, height_of, width_of
from tiler.sheets.room import Room
from tiler.sheets.ways import Way
from tiler.sheets.words import say

#: Type size of the number and of the words, points: read at arm's length.
NUMBER_PT = LARGE
WORDS_PT = 10.0
#: Between the number and the words, millimetres.
_SPACE = 1.6
_HEIGHT = height_of(NUMBER_PT) + depth_of(WORDS_PT)
#: How far the words keep from the joint, nearest first, millimetres; farther where a page is not
#: trimmed, for the strip of its neighbour's bars lies over it.
_NEAR = (1.0, 2.5, 4.5, 7.0, 10.0, 15.0)
_NEAR_UNTRIMMED = (5.6, 7.5, 10.0, 15.0)
#: From the middle outwards, as shares of the joint's length.
_SHARES = tuple(0.5 + sign * step / 40 for step in range(20) for sign in (1, -1))
#: Least room between pattern lines and words, millimetres, best first.
_AIRS = (1.5, 0.8, 0.2)
#: Words of each way on the page that lies under and on the one that lies over.
_KEYS = {
    Way.OVERLAP: ("goes_over", "cut_here"),
    Way.BUTT: ("butt_here", "butt_here"),
    Way.SEE_THROUGH: ("see_over", "see_under"),
}


@dataclass(frozen=True)
class Side:
    """A joint as one of its pages sees it, sheet coordinates.

    Args:
        number: The joint's.
        neighbour: Name of the other page.
        start: Lower or left end of the line.
        end: Upper or right end of it.
        over: Whether the page is the one on the right or below.
        inwards: On which side of the line the page lies: 1 to the right or above, else -1.
    """

    number: int
    neighbour: str
    start: Point
    end: Point
    over: bool
    inwards: float


def joint_words(
    side: Side, way: Way, to_page: Affine, room: Room, bodies: Bodies
) -> Iterator[Words]:
    """Number and words of one page, on its own side of the line, page coordinates.

    Where the whole sentence has no room, the neighbour's name alone stands beside the number.

    Args:
        side: The joint as the page sees it.
        way: How pages are joined.
        to_page: Sheet to page.
        room: What to keep clear of; the place is taken in it.
        bodies: What is cut out; places outside come first.
    """
    number = str(side.number)
    start = width_of(number, NUMBER_PT, bold=True) + _SPACE
    near = _NEAR if way.trims_over else _NEAR_UNTRIMMED
    beside = _beside(side, max(near) + _HEIGHT, room, bodies)
    lanes = _lanes(side, near, beside)
    box = None
    for key in (_KEYS[way][side.over], "joint_short"):
        text = say(key, neighbour=side.neighbour)
        width = start + width_of(text, WORDS_PT)
        starts = _starts(side, width)
        box = next(filter(None, (first_place(lanes, starts, width, air) for air in _AIRS)), None)
        if box:
            beside.take(box)
            break
    else:
        boxes = [lane.box(begin, width) for lane in lanes for begin in starts]
        box = beside.least_struck(boxes)
    upright = side.start.x == side.end.x
    depth = depth_of(WORDS_PT)
    along = Affine.turn(90.0 if upright else 0.0)
    base = Point(box.right - depth, box.bottom) if upright else Point(box.left, box.bottom + depth)
    place = along.then(Affine.move(*to_page(base)))
    turn = 90.0 if upright else 0.0
    yield Words(number, place(Point(0.0, 0.0)), NUMBER_PT, turn=turn, bold=True)
    yield Words(text, place(Point(start, 0.0)), WORDS_PT, turn=turn)


def _beside(side: Side, reach: float, room: Room, bodies: Bodies) -> Beside:
    """What lies within reach of a joint, on the page's own side of it."""
    (x, y), (end_x, end_y) = side.start, side.end
    low, high = sorted((0.0, reach * side.inwards))
    upright = x == end_x
    here = Bounds(x + low, y, x + high, end_y) if upright else Bounds(x, y + low, end_x, y + high)
    return Beside(room, bodies, here.grown(max(_AIRS)), upright=upright)


def _lanes(side: Side, nears: tuple[float, ...], beside: Beside) -> list[Lane]:
    """Bands for words along a joint, nearest to it first."""
    line = side.start.x if beside.upright else side.start.y
    edges = ((line + near * side.inwards, line + (near + _HEIGHT) * side.inwards) for near in nears)
    return [beside.lane(min(pair), max(pair)) for pair in edges]


def _starts(side: Side, width: float) -> list[float]:
    """Where words of that width may begin along a joint, nearest to its middle first."""
    length, half = side.start.to(side.end), width / 2
    begin = side.start.y if side.start.x == side.end.x else side.start.x
    return [
        begin + share * length - half
        for share in _SHARES
        if share == 0.5 or half + 3 <= share * length <= length - half - 3
    ]
