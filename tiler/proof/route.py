"""The path under construction in a content stream (ISO 32000-1, 8.5.2)."""

from __future__ import annotations

import numpy as np

from tiler.pattern.affine import Affine
from tiler.proof.geometry import Floats, mapped, points_at, ring_window

_MOST_CLIP_CORNERS = 64
_CHORDS = 8


class Route:
    """Segments one after another, the painted ones kept in front of those still unpainted.

    Attributes:
        here: The current point.
        first: Where the path under construction begins, in segments.
    """

    def __init__(self) -> None:
        self.flat: list[float] = []  # eight numbers a segment
        self.first = 0
        self.here = self.start = (0.0, 0.0)
        self.fresh, self.curved = True, False
        self.rings: list[int] = []  # where each subpath begins, in segments

    def move(self, to: tuple[float, float]) -> None:
        """Begin a subpath."""
        self.here = self.start = to
        self.fresh = True

    def line(self, x: float, y: float) -> None:
        """A straight line, as a cubic whose handles lie at its thirds."""
        x0, y0 = self.here
        dx, dy = (x - x0) / 3, (y - y0) / 3
        self._segment((x0, y0, x0 + dx, y0 + dy, x - dx, y - dy, x, y))

    def curve(self, x1: float, y1: float, x2: float, y2: float, x3: float, y3: float) -> None:
        """A cubic."""
        self.curved = True
        self._segment((*self.here, x1, y1, x2, y2, x3, y3))

    def close(self) -> None:
        """Back to where the subpath began."""
        if not self.fresh and self.here != self.start:
            self.line(*self.start)
        self.move(self.start)

    def rectangle(self, x: float, y: float, width: float, height: float) -> None:
        """A whole subpath."""
        self.move((x, y))
        self.line(x + width, y)
        self.line(x + width, y + height)
        self.line(x, y + height)
        self.close()

    @property
    def count(self) -> int:
        """All segments, painted or not."""
        return len(self.flat) // 8

    def finish(self, *, stroked: bool) -> None:
        """Keep the path as painted, or forget it, and begin the next."""
        if not stroked:
            del self.flat[self.first * 8 :]
        self.first = self.count
        self.fresh, self.curved = True, False
        self.rings = []

    def window(self, by: Affine) -> Floats | None:
        """The window that the path clips to after a map; None when it is not one convex ring."""
        path = self._path()
        if len(self.rings) != 1 or self.curved or len(path) > _MOST_CLIP_CORNERS:
            return None
        return ring_window(mapped(np.concatenate([path[:, 0], path[-1:, 3]]), by))

    def sides(self) -> Floats:
        """The sides (n, 2, 2) of the area that the path encloses, every subpath closed."""
        path = self._path()
        if not len(path):
            return np.empty((0, 2, 2))
        steps = _CHORDS if self.curved else 1
        at = np.tile(np.linspace(0, 1, steps + 1), (len(path), 1)).ravel()
        points = points_at(np.repeat(path, steps + 1, axis=0), at).reshape(-1, steps + 1, 2)
        sides = np.stack([points[:, :-1], points[:, 1:]], axis=2).reshape(-1, 2, 2)
        begin = np.array(self.rings) - self.first
        end = np.append(begin[1:], len(path)) - 1
        return np.concatenate([sides, np.stack([path[end, 3], path[begin, 0]], axis=1)])

    def _segment(self, points: tuple[float, ...]) -> None:
        if self.fresh:
            self.rings.append(self.count)
            self.fresh = False
        self.flat.extend(points)
        self.here = points[6], points[7]

    def _path(self) -> Floats:
        return np.array(self.flat[self.first * 8 :], dtype=float).reshape(-1, 4, 2)
