"""How sure the place of a point on the table is, out of the covariance of all unknowns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.camera.scene import State, View
from tiler.intake.photo.model import Numbers, Photo, Points

#: So many points stand for the whole when it is turned and shifted.
_ENOUGH = 600
_BATCH = 1500


@dataclass(frozen=True, eq=False)
class Spreading:
    """Called with points, it gives their standard uncertainty (`Solved.spread`).

    A point is where a photo shows it, so its place moves with that photo's camera. The points
    handed in are the region that is laid on the truth: a common turn and shift counts for nothing.
    The figure is the root of the expected square of the distance, x and y together.

    Args:
        view: How unknowns make pixels.
        state: Their values.
        photos: For their frames.
        root: Any matrix whose product with its transpose is the covariance of what cards have in
            common.
        anchors: Stand in for the region where fewer than three points are handed in.
    """

    view: View
    state: State
    photos: Sequence[Photo] = field(repr=False)
    root: Numbers = field(repr=False)
    anchors: Points = field(repr=False)

    def __call__(self, points: Points) -> Numbers:
        """Standard uncertainty of points of the table, millimetres, (n,)."""
        points = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        region = points if len(points) > 2 else self.anchors
        region = region[:: max(1, len(region) // _ENOUGH)]
        middle = region.mean(axis=0)
        rigid = _rigid(region - middle)
        common = np.linalg.pinv(rigid) @ self._moves(region)
        out = np.empty(len(points))
        for start in range(0, len(points), _BATCH):
            part = points[start : start + _BATCH]
            moves = self._moves(part) - _rigid(part - middle) @ common
            out[start : start + _BATCH] = np.sqrt((moves**2).sum(axis=1).reshape(-1, 2).sum(axis=1))
        return out

    def _moves(self, points: Points) -> Numbers:
        """How points move with independent standard steps: x, y, x, y … (2 n, steps)."""
        best = np.full(len(points), -np.inf)
        out = np.zeros((len(points), 2, self.root.shape[1]))
        for index, photo in enumerate(self.photos):
            with np.errstate(invalid="ignore"):
                by_point, by_unknowns = self.view.table(self.state, index, points)
            area = np.abs(np.linalg.det(np.nan_to_num(by_point)))
            there = area > 1e-9
            at = self._pixels(index, points)
            inside = np.all((at > -1) & (at < (photo.width, photo.height)), axis=1)
            score = np.where(there, area + 1e6 * inside, -np.inf)
            take = score > best
            best[take] = score[take]
            steps = by_unknowns[take] @ self.root
            out[take] = -np.linalg.solve(by_point[take], steps)
        return out.reshape(2 * len(points), -1)

    def _pixels(self, photo: int, points: Points) -> Points:
        return self.view.camera(self.state, photo).to_photo(points)


def _rigid(points: Points) -> Numbers:
    """How points move when all are shifted and turned, (2 n, 3)."""
    out = np.zeros((len(points), 2, 3))
    out[:, 0, 0] = out[:, 1, 1] = 1
    out[:, 0, 2], out[:, 1, 2] = -points[:, 1], points[:, 0]
    return out.reshape(-1, 3)
