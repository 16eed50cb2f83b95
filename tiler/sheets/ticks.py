"""Fine ticks at a joint, 1.0 mm apart on one page and 0.9 mm on the other, that tell tenths.

Two pages that are off by n tenths of a millimetre along the joint have their n-th ticks in one
line: the principle of the vernier scale (Pierre Vernier, 1631). Ticks that stand square to the
joint tell sliding. Ticks slanted by 45 degrees are shifted by a gap as much as by sliding, so once
the straight ones read 0 they tell the gap alone.

The frame of all drawings is that of a level joint: x runs along it to the right, y up, the middle
tick crosses the joint line in the origin. The page that lies under is above the line, the one that
lies over is below. Turned a quarter anticlockwise it is an upright joint, the page under on the
left.
"""

from __future__ import annotations

from enum import Enum
from functools import cache

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline
from tiler.sheets.drawing import Drawing, Stroke, Words
from tiler.sheets.lettering import SMALL, height_of
from tiler.sheets.pens import TICK
from tiler.sheets.words import say

#: From tick to tick on the page that lies under and on the one that lies over, millimetres.
COARSE = 1.0
CLOSE = 0.9
#: Ticks on either side of the middle one; each is a tenth of a millimetre.
REACH = 5
#: Ticks run on past the joint line, so that a cut that is a little off leaves them whole.
PAST = 0.5
#: How far other ticks, the fifth ones and the middle one reach on to their page, millimetres.
SHORT, FIFTH, LONG = 2.6, 3.2, 4.0
#: Words and numbers keep farther than this from the line: on a page that is not trimmed, the strip
#: of its neighbour's bars reaches 5 mm over them at the usual overlap.
WORDS_FROM = 5.2


class Ticks(Enum):
    """Both kinds: which way they lean, and what the ticks of both pages cover.

    STRAIGHT: Square to the joint; they tell how far one page has slid along the other.
    SLANTED: By 45 degrees; once the straight ones read 0 they tell a gap, or a lap.
    """

    STRAIGHT = 0.0, Bounds(-6.2, -8.0, 6.2, 8.0)
    SLANTED = 1.0, Bounds(-11.0, -8.0, 11.0, 8.0)

    @property
    def slant(self) -> float:
        """Millimetres to the right for each up."""
        return self.value[0]

    @property
    def box(self) -> Bounds:
        """What the ticks of both pages cover, words included."""
        return self.value[1]

    @property
    def bare_box(self) -> Bounds:
        """What they cover without numbers and words."""
        across = REACH * COARSE + self.slant * FIFTH + TICK.width
        return Bounds(-across, -LONG - TICK.width, across, LONG + TICK.width)


def vernier(kind: Ticks, over: bool, bare: bool = False) -> Drawing:
    """The ticks of one page, with their numbers or words; the same object for the same arguments.

    Args:
        kind: Which of them.
        over: Whether it is for the page that lies over (to the right or below), with the ticks
            that are close together.
        bare: Whether numbers and words are left out.
    """
    return _drawn(kind, over, bare)


@cache
def _drawn(kind: Ticks, over: bool, bare: bool) -> Drawing:
    scale = Stroke(ticks(kind, over), TICK)
    if bare:
        return Drawing(kind.bare_box, (scale,))
    if not over:
        # A number stands where its tick would be if it were as long as that.
        numbers = [(str(abs(n)), n * COARSE + kind.slant * WORDS_FROM) for n in (-REACH, 0, REACH)]
        words = [Words(text, Point(x, WORDS_FROM), SMALL, anchor="middle") for text, x in numbers]
        return Drawing(kind.box._replace(bottom=-PAST - TICK.width), (scale, *words))
    down = -WORDS_FROM - height_of(SMALL)
    ends = [("slid", 0.0)]
    if kind is Ticks.SLANTED:
        ends = [("lap", -REACH * CLOSE - LONG), ("gap", REACH * CLOSE - LONG)]
    words = [Words(say(f"vernier_{k}"), Point(x, down), SMALL, anchor="middle") for k, x in ends]
    return Drawing(kind.box._replace(top=PAST + TICK.width), (scale, *words))


def at_joint(middle: Point, *, upright: bool) -> Affine:
    """From the frame of the drawings to a place on a joint."""
    return Affine.turn(90.0 if upright else 0.0).then(Affine.move(*middle))


def ticks(kind: Ticks, over: bool) -> tuple[Path, ...]:
    """The ticks of one page from left to right, as for `vernier`."""
    step, side = (CLOSE, -1.0) if over else (COARSE, 1.0)
    found = []
    for number in range(-REACH, REACH + 1):
        far = LONG if number == 0 else FIFTH if abs(number) == REACH else SHORT
        ends = (-PAST * side, far * side)
        found.append(polyline([Point(number * step + kind.slant * y, y) for y in ends]))
    return tuple(found)
