"""The part of the mat that the picture covers, as an upright rectangle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.grid import picture_corners_px
from tiler.layout.mats.mat import Mat
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds

Array = npt.NDArray[np.float64]

#: Places that the search tries for each side at a time, how often it looks closer, and by how much.
_PLACES = 33
_ROUNDS = 14
_CLOSER = 0.35
#: The rectangle's sides are whole micrometres, rounded down but for what sums of floats lose.
_STEPS_PER_MM, _LOST = 1000.0, 1e-3


def usable_rectangle(mat: Mat) -> Bounds:
    """The largest upright rectangle of a measured mat that the whole picture covers.

    Not larger than the mat; its lower left corner is the origin of a mat laid by `laid`.

    Raises:
        ProjectionError: The mat was not measured yet.
    """
    picture = mat.to_mat()(picture_corners_px(mat.width_px, mat.height_px))
    # Kept to the nanometre, so that the origin is one.
    found = largest_upright(picture, mat.width, mat.height)
    return Bounds(*(round(side, 6) + 0.0 for side in found))


def laid(mat: Mat, corners: Sequence[Point]) -> Mat:
    """The mat with its frame laid under the picture.

    The long side of the mat runs along the long side of the picture. It is parallel to that side
    of the picture, or square to that one, which leaves the most room.

    Args:
        mat: Its corners are forgotten.
        corners: Of the grid in any frame, mm: lower left, lower right, upper right, upper left.
    """
    points = np.asarray(corners, dtype=np.float64)
    sides = np.roll(points, -1, axis=0) - points
    # A picture that stands upright lies across the mat: its right side becomes the lower one.
    quarter = 0 if mat.width_px >= mat.height_px else 1
    turns = [
        math.atan2(y, x) - (number - quarter) * math.pi / 2 for number, (x, y) in enumerate(sides)
    ]
    tried = []
    for turn in turns:
        cos, sin = math.cos(turn), math.sin(turn)
        turned = points @ np.array([(cos, -sin), (sin, cos)])
        here = replace(mat, corners=_points(turned))
        room = usable_rectangle(here)
        tried.append((room.width * room.height, turned - (room.left, room.bottom)))
    # A hair more room is no reason to leave the first side.
    most = max(area for area, _ in tried)
    return replace(mat, corners=_points(next(p for area, p in tried if area > 0.999 * most)))


def largest_upright(corners: Array, most_width: float, most_height: float) -> Bounds:
    """The largest upright rectangle within a convex quadrilateral.

    Where several are as large, for the bounds on its sides, it is in the middle of the room.

    Args:
        corners: (4, 2), in order, either way round.
        most_width: The rectangle is not wider.
        most_height: Nor higher.
    """
    left, right = _widest(corners, most_width, most_height)
    bottom, top = _span(corners, left, right)
    wide, tall = _floor(right - left), _floor(min(float(top - bottom), most_height))
    x, y = left, float(bottom)
    # Where the lower left corner may be: the quadrilateral, less the rectangle's extent each way.
    room: BaseGeometry = shapely.Polygon(corners)
    for across, up in ((wide, 0.0), (0.0, tall), (wide, tall)):
        room = room.intersection(shapely.Polygon(corners - (across, up)))
    if not room.is_empty:
        x, y = room.centroid.x, room.centroid.y
    return Bounds(x, y, x + wide, y + tall)


def _floor(side: float) -> float:
    return math.floor(side * _STEPS_PER_MM + _LOST) / _STEPS_PER_MM


def _widest(corners: Array, most_width: float, most_height: float) -> tuple[float, float]:
    """Left and right of the largest rectangle.

    The logarithm of the area is a concave function of both, so looking closer round the best
    place does not miss it.
    """
    low, high = float(corners[:, 0].min()), float(corners[:, 0].max())
    left, right, reach = (low + high) / 2, (low + high) / 2, (high - low) / 2
    for _ in range(_ROUNDS):
        lefts = np.clip(left + np.linspace(-reach, reach, _PLACES), low, high)[:, None]
        rights = np.clip(right + np.linspace(-reach, reach, _PLACES), low, high)[None, :]
        # Those that are wider than they may be are cut, and stay in the search.
        rights = np.minimum(rights, lefts + most_width)
        lefts = np.broadcast_to(lefts, rights.shape)
        bottom, top = _span(corners, lefts, rights)
        tall = np.minimum(top - bottom, most_height)
        area = np.where((rights > lefts) & (tall > 0), (rights - lefts) * tall, -1.0)
        best = np.unravel_index(int(area.argmax()), area.shape)
        left, right = float(lefts[best]), float(rights[best])
        reach *= _CLOSER
    return left, right


def _span(corners: Array, left: Array | float, right: Array | float) -> tuple[Array, Array]:
    """How far up and down the quadrilateral reaches at both of two places."""
    low_left, high_left = _reach(corners, np.asarray(left))
    low_right, high_right = _reach(corners, np.asarray(right))
    return np.maximum(low_left, low_right), np.minimum(high_left, high_right)


def _reach(corners: Array, x: Array) -> tuple[Array, Array]:
    """The lowest and the highest place of a convex quadrilateral at each x."""
    low, high = np.full(x.shape, np.inf), np.full(x.shape, -np.inf)
    for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        if ax == bx:
            continue
        inside = (x >= min(ax, bx)) & (x <= max(ax, bx))
        y = ay + (x - ax) / (bx - ax) * (by - ay)
        low = np.where(inside, np.minimum(low, y), low)
        high = np.where(inside, np.maximum(high, y), high)
    return low, high


def _points(corners: Array) -> tuple[Point, Point, Point, Point]:
    a, b, c, d = (Point(float(x), float(y)) for x, y in corners)
    return a, b, c, d
