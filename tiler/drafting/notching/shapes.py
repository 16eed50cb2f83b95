"""The drawn shape of a notch on a cut line."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.affine import Point
from tiler.pattern.model import Mark, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.wishes import NotchShape

#: Length (millimetres) of a slit where the allowance leaves room for it.
SLIT = 5.0
#: A slit ends so far (millimetres) before the stitch line. Common practice, no source.
CLEAR = 3.0
#: Narrowest allowance (millimetres) with room for a slit: half of it is the most that is cut into,
#: and `CLEAR` has to be left.
NARROWEST = 2 * CLEAR
#: What the cut line of a curve may be nearer (millimetres) than its allowance.
_FITTED = 0.05
#: Width and height (millimetres) of a wedge.
WEDGE = 5.0


@dataclass(frozen=True, slots=True)
class Foot:
    """Where a notch meets the line that it stands on.

    Args:
        at: The place on the cut line (on the stitch line where there is no cut line).
        inward: Unit vector square to that line, into the piece.
        width: Millimetres from there to the stitch line; None where there is no cut line.
        sides: The two places on the line half a wedge before and after, in its way.
    """

    at: Point
    inward: tuple[float, float]
    width: float | None
    sides: tuple[Point, Point]


def slit_length(width: float) -> float:
    """How deep to cut into an allowance: 5 mm, half of it at most, 3 mm clear of the stitches.

    Half of the allowance and the 3 mm are common practice, no source.

    Args:
        width: The allowance in millimetres, at least `NARROWEST`.
    """
    return min(SLIT, width / 2, width - CLEAR)


def drawn_as(width: float | None, shape: NotchShape) -> NotchShape:
    """The shape that there is room for.

    An allowance under 6 mm has no room for a slit that stays clear of the stitches, so the notch
    stands out from it as a wedge.
    """
    narrow = width is not None and width < NARROWEST - _FITTED
    return NotchShape.WEDGE if narrow else shape


def notch(foot: Foot, shape: NotchShape, style: str = "") -> Mark:
    """A notch.

    A slit goes from the cut line inwards; a wedge is 5 mm wide and stands 5 mm out from it. On a
    stitch line without a cut line the notch goes outwards, to where the allowance will be: a slit
    by 5 mm.
    """
    if drawn_as(foot.width, shape) is NotchShape.WEDGE:
        before, after = foot.sides
        path = polyline([before, _deep(foot, -WEDGE), after])
    elif foot.width is None:
        path = polyline([foot.at, _deep(foot, -SLIT)])
    else:
        path = polyline([foot.at, _deep(foot, slit_length(foot.width))])
    return Mark(Role.NOTCH, foot.at, path, style)


def _deep(foot: Foot, by: float) -> Point:
    (x, y), at = foot.inward, foot.at
    return Point(at.x + x * by, at.y + y * by)


def is_slit(path: Path) -> bool:
    """Whether a notch is drawn as one line."""
    return len(path.segments) == 1
