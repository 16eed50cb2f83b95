"""What buttons, buttonholes and drill points look like on the paper."""

from __future__ import annotations

import math
from itertools import pairwise

from tiler.drafting.darts.dart import drill
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Mark, Role
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Straight

#: Width (millimetres) of a button's symbol where the button's own is not said.
SMALL_BUTTON = 6.0
#: Length (millimetres) of a buttonhole where it is not said: a button of 15 mm and 3 mm for its
#: thickness. Common practice, no source.
BUTTONHOLE = 18.0
#: How far (millimetres) a buttonhole begins beyond the middle of its button, on the side of the
#: edge, since the button pulls towards that end. Common practice, no source.
SHANK = 3.0
#: Half of the bar across each end of a buttonhole, millimetres.
BAR = 2.0


def symbol(kind: str, at: Point, inward: tuple[float, float], size: float | None) -> Mark:
    """The mark of one button, buttonhole or drill point.

    A button is a circle as wide as the button, with a cross through it. A buttonhole runs square
    to its edge, from 3 mm beyond the button's middle on the side of the edge, with a bar across
    each end. A drill point is a circle of 3 mm.

    Args:
        kind: ``button``, ``buttonhole`` or ``drill``.
        at: The middle of the button, or the point itself.
        inward: Unit vector from the edge into the piece.
        size: Width of the button or length of the buttonhole; None for the usual.

    Returns:
        A mark whose `at` is the button's middle, for a buttonhole too.

    Raises:
        PatternError: Another kind, or a size that is not positive.
    """
    if size is not None and not (math.isfinite(size) and size > 0):
        raise PatternError(
            f"a {kind} cannot measure {size:g} mm", remedy="Give a size greater than 0."
        )
    if kind == Role.BUTTON:
        return Mark(Role.BUTTON, at, _crossed(at, (size or SMALL_BUTTON) / 2))
    if kind == Role.BUTTONHOLE:
        return Mark(Role.BUTTONHOLE, at, _barred(at, inward, size or BUTTONHOLE))
    if kind == Role.DRILL:
        return drill(at)
    raise PatternError(
        f'"{kind}" is not a kind of mark', remedy="Write button, buttonhole or drill."
    )


def _crossed(at: Point, radius: float) -> Path:
    """A circle and its two diameters as one line."""
    ring = circle(at, radius)
    right, top, left, bottom = (segment.start for segment in ring.segments)
    strokes = [Straight(a, b) for a, b in pairwise((right, left, at, top, bottom))]
    return Path((*ring.segments, *strokes))


def _barred(at: Point, inward: tuple[float, float], size: float) -> Path:
    """A line with a bar across each end, as one line that goes back over its bars."""
    x, y = inward

    def place(deep: float, aside: float) -> Point:
        return Point(at.x + x * deep - y * aside, at.y + y * deep + x * aside)

    near, far = -SHANK, size - SHANK
    outer = [place(near, BAR), place(near, -BAR), place(near, 0)]
    return polyline([*outer, place(far, 0), place(far, BAR), place(far, -BAR)])
