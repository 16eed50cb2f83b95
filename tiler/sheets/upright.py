"""Words along a line at any angle are read from below or from the right, never on their head."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds

#: A direction this near to straight down counts as straight up: it differs by rounding alone.
_SLACK = 1e-3


def upright(along: tuple[float, float]) -> tuple[tuple[float, float], float]:
    """The direction in which words along a line run, and their turn in degrees, in (-90, 90].

    Args:
        along: A direction of the line, either one; not of length 0.
    """
    degrees = math.degrees(math.atan2(along[1], along[0]))
    if -90.0 + _SLACK < degrees <= 90.0 + _SLACK:
        return along, min(degrees, 90.0)
    return (-along[0], -along[1]), math.remainder(degrees + 180.0, 360.0)


def corners_along(
    middle: Point, along: tuple[float, float], half: float, low: float, high: float
) -> list[Point]:
    """Corners of a turned box, from its lower left as its words run.

    Args:
        middle: A point on the line of reference, halfway along the box.
        along: The unit direction in which the words run.
        half: Half the box's length, millimetres.
        low: From the line to the box's lower side, millimetres; negative below it.
        high: The same to its upper side.
    """
    (dx, dy), (x, y) = along, middle
    return [
        Point(x + dx * forward - dy * above, y + dy * forward + dx * above)
        for forward, above in ((-half, low), (half, low), (half, high), (-half, high))
    ]


def turned_corners(box: Bounds, turn: float) -> Sequence[Point]:
    """Corners of a box that is upright in a frame turned about the origin.

    Args:
        box: In the turned frame.
        turn: Of the frame, degrees anticlockwise.
    """
    at = Affine.turn(turn)
    return [at(corner) for corner in box.corners()]
