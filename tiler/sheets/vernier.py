"""What the ticks at a joint say, with drawn examples, for the first page."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline
from tiler.sheets.column import Column
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, height_of
from tiler.sheets.pens import HAIR
from tiler.sheets.ticks import COARSE, FIFTH, LONG, REACH, Ticks, ticks
from tiler.sheets.ways import Way
from tiler.sheets.words import say

#: How much larger than at a joint the examples are, at the most.
LARGEST = 2.2
#: From the middle of straight ticks to their ends across, in the size of a joint, and the room
#: between two examples, millimetres.
_HALF = REACH * COARSE + 0.4
_APART = 3.0
#: The words stand beside the examples in a frame at least this wide, millimetres.
BESIDE = 130.0
_PICTURE = 78.0
#: The pair of ticks that is in one line has this grey behind it.
_BEHIND = 0.8
_PEN = Pen(0.22)
#: Slid and gap of each example, in tenths of a millimetre; its ticks; caption.
_EXAMPLES = (
    (0, 0, Ticks.STRAIGHT, "vernier_zero"),
    (3, 0, Ticks.STRAIGHT, "vernier_slid_by"),
    (0, 3, Ticks.SLANTED, "vernier_gap_by"),
)


def draw_vernier_help(frame: Bounds, way: Way = Way.OVERLAP) -> list[Item]:
    """A heading, three enlarged examples (0, slid 0.3 mm, gap 0.3 mm), and a few words.

    Args:
        frame: Where to draw, from the top; see `vernier_help_height` for how far down.
        way: How the pages are joined.
    """
    return _drawn(frame, way)[0]


def vernier_help_height(width: float, way: Way = Way.OVERLAP) -> float:
    """Millimetres that `draw_vernier_help` takes in a frame of that width (60 mm at least)."""
    return _drawn(Bounds(0.0, 0.0, width, 0.0), way)[1]


def _drawn(frame: Bounds, way: Way) -> tuple[list[Item], float]:
    heading = Column(frame)
    heading.add(say("vernier_title"), BODY, bold=True, after=1.2)
    picture = heading.rest
    if beside := frame.width >= BESIDE:
        picture = picture._replace(right=frame.left + _PICTURE)
    items, bottom = _examples(picture)
    words = heading.rest._replace(left=picture.right + 6.0)
    if not beside:
        words = heading.rest._replace(top=bottom - 2.0)
    column = Column(words)
    first = "vernier_see_first" if way is Way.SEE_THROUGH else "vernier_first"
    for key in (first, "vernier_read", "vernier_far"):
        column.add(say(key), SMALL + 0.5, after=0.8)
    foot = min(bottom, column.top) if beside else column.top
    return [*heading.items, *items, *column.items], frame.top - foot


def _examples(frame: Bounds) -> tuple[list[Item], float]:
    """All examples side by side, and the height of their foot."""
    halves = [_HALF + kind.slant * FIFTH for _, _, kind, _ in _EXAMPLES]
    room = frame.width - _APART * (len(halves) - 1)
    size = min(LARGEST, room / (2 * sum(halves)))
    line = frame.top - LONG * size - 0.5
    caption = line - LONG * size - 1.0 - height_of(SMALL)
    items: list[Item] = []
    left = frame.left
    for (slid, gap, kind, key), half in zip(_EXAMPLES, halves, strict=True):
        middle = Point(left + half * size, line)
        items += _example(middle, size, slid, gap, kind)
        items.append(Words(say(key), Point(middle.x, caption), SMALL, anchor="middle"))
        left += 2 * half * size + _APART
    return items, caption - 1.0


def _example(middle: Point, size: float, slid: int, gap: int, kind: Ticks) -> list[Item]:
    """The ticks of both pages, the one that lies over displaced by tenths of a millimetre."""
    enlarged = Affine.scale(size, size).then(Affine.move(*middle))
    off = Affine.move(slid / 10, -gap / 10).then(enlarged)
    # The page that lies over hides what is under it, and shows nothing past its own edge.
    under = tuple(_from(path, -gap / 10).moved(enlarged) for path in ticks(kind, over=False))
    over = tuple(_from(path, 0.0).moved(off) for path in ticks(kind, over=True))
    edges = [polyline([Point(-_HALF, y), Point(_HALF, y)]) for y in sorted({0.0, -gap / 10})]
    return [
        _behind(slid + round(gap * kind.slant), kind.slant, enlarged),
        Stroke(tuple(edge.moved(enlarged) for edge in edges), HAIR),
        Stroke((*under, *over), _PEN),
    ]


def _from(tick: Path, height: float) -> Path:
    """The part of a tick from a height to its far end."""
    near, far = tick.start, tick.end
    share = (height - near.y) / (far.y - near.y)
    return polyline([Point(near.x + (far.x - near.x) * share, height), far])


def _behind(number: int, slant: float, to: Affine) -> Fill:
    """A grey bar behind the pair that is in one line."""
    x, half = number * COARSE, 0.3
    corners = [
        Point(x + sign * half + slant * y, y)
        for y, sign in ((-LONG, -1), (-LONG, 1), (LONG, 1), (LONG, -1))
    ]
    return Fill((polyline(corners, closed=True).moved(to),), _BEHIND)
