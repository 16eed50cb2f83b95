"""The map from one flat surface to another through a lens without distortion."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.pattern.errors import ProjectionError

Array = npt.NDArray[np.float64]
Points = Array | Sequence[tuple[float, float]]

#: A corner counts as lying in the line of its neighbours when it is off by less than this share of
#: the quadrilateral's extent; common practice, no source.
_FLAT = 1e-6
#: Steps that least squares take at most; each squares the error, so few are needed.
_STEPS = 12


@dataclass(frozen=True, eq=False)
class Homography:
    """A projective map of the plane.

    Args:
        matrix: 3 x 3; a point (x, y) goes to the first two of `matrix @ (x, y, 1)` over the third.
    """

    matrix: Array

    @classmethod
    def through(cls, source: Points, target: Points) -> Homography:
        """The map that takes some points to others: exactly for four, nearest for more.

        The direct linear transformation with both sets of points shifted to their middle and
        scaled to a mean distance of the root of two (Hartley, "In defense of the eight-point
        algorithm", 1997; Hartley and Zisserman, "Multiple View Geometry", algorithm 4.2; both from
        memory). With more than four points, Gauss-Newton steps then make the sum of the squared
        distances from the target the least.

        Args:
            source: (n, 2), n of four or more; four are the corners of a quadrilateral in order.
            target: (n, 2), where they go.

        Raises:
            ProjectionError: Fewer than four points, corners that lie in one line, cross over or
                turn inwards, or points that do not fix a map.
        """
        a, b = _array(source), _array(target)
        if len(a) < 4 or len(a) != len(b):
            raise ProjectionError(
                f"a projection needs four points or more, not {min(len(a), len(b))}"
            )
        if len(a) == 4:
            check_corners(a)
            check_corners(b)
        from_a, into_b = _normalising(a), _normalising(b)
        near, far = _moved(from_a, a), _moved(into_b, b)
        _, sizes, ways = np.linalg.svd(_equations(near, far))
        matrix = ways[-1].reshape(3, 3)
        depths = near @ matrix[2, :2] + matrix[2, 2]
        if sizes[7] < _FLAT * sizes[0] or not (depths.min() > 0 or depths.max() < 0):
            raise ProjectionError("these points do not fix one projection")
        if len(a) > 4:
            matrix = _refined(matrix, near, far)
        whole = np.linalg.inv(into_b) @ matrix @ from_a
        return cls(np.asarray(whole / whole[2, 2] if abs(whole[2, 2]) > _FLAT else whole))

    def __call__(self, points: Points) -> Array:
        """Where points go: (n, 2) to (n, 2)."""
        return _moved(self.matrix, _array(points))

    def inverse(self) -> Homography:
        """The way back."""
        return Homography(np.asarray(np.linalg.inv(self.matrix)))

    def jacobian_at(self, point: tuple[float, float]) -> Array:
        """How small steps at a point are stretched: 2 x 2, rows for x and y of the target."""
        u, v, w = self.matrix @ (point[0], point[1], 1.0)
        top, low = self.matrix[:2, :2], self.matrix[2, :2]
        return np.asarray((top * w - np.outer((u, v), low)) / w**2)

    def sizes_at(self, point: tuple[float, float]) -> tuple[float, float]:
        """What the most and the least stretched unit step at a point become, in target units.

        For a map from pixels to millimetres they are the long and the short extent of a pixel: the
        singular values of the Jacobian.
        """
        longest, shortest = np.linalg.svd(self.jacobian_at(point), compute_uv=False)
        return float(longest), float(shortest)


def check_corners(corners: Points) -> None:
    """See that four points are corners of a convex quadrilateral, in order.

    Raises:
        ProjectionError: Three lie in one line, sides cross, or a corner turns inwards.
    """
    points = _array(corners)
    before, after = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turns = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    extent = float(np.ptp(points, axis=0).max())
    if not math.isfinite(extent) or np.abs(turns).min() <= _FLAT * extent**2:
        raise ProjectionError("three of the four corners lie in one line")
    if not (turns > 0).all() and not (turns < 0).all():
        raise ProjectionError("the four corners do not go round a figure without inward corners")


def _array(points: Points) -> Array:
    return np.asarray(points, dtype=np.float64).reshape(-1, 2)


def _moved(matrix: Array, points: Array) -> Array:
    found = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(found[:, :2] / found[:, 2:])


def _normalising(points: Array) -> Array:
    """The shift and the scaling that bring points about the origin."""
    middle = points.mean(axis=0)
    mean = float(np.hypot(*(points - middle).T).mean())
    scale = math.sqrt(2) / mean if mean > 0 else 1.0
    return np.array(
        [[scale, 0, -scale * middle[0]], [0, scale, -scale * middle[1]], [0, 0, 1]],
        dtype=np.float64,
    )


def _equations(a: Array, b: Array) -> Array:
    """Two equations for each pair of points, for the nine entries of the matrix."""
    one = np.column_stack([a, np.ones(len(a))])
    none = np.zeros_like(one)
    for_x = np.column_stack([one, none, -b[:, :1] * one])
    for_y = np.column_stack([none, one, -b[:, 1:] * one])
    return np.concatenate([for_x, for_y])


def _refined(matrix: Array, a: Array, b: Array) -> Array:
    """The matrix with the least sum of squared distances from the targets."""
    entries = matrix.ravel() / np.linalg.norm(matrix)
    one = np.column_stack([a, np.ones(len(a))])
    none = np.zeros_like(one)
    for _ in range(_STEPS):
        found = one @ entries.reshape(3, 3).T
        depth = found[:, 2:]
        seen = found[:, :2] / depth
        slopes = np.concatenate(
            [
                np.column_stack([one, none, -seen[:, :1] * one]) / depth,
                np.column_stack([none, one, -seen[:, 1:] * one]) / depth,
            ]
        )
        # The scale of the entries is free; least squares of least length leave it alone.
        step = np.linalg.lstsq(slopes, (b - seen).T.ravel(), rcond=1e-10)[0]
        entries = entries + step
        if np.abs(step).max() < 1e-12:
            break
    return np.asarray(entries.reshape(3, 3))
