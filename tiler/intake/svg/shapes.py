"""The basic shapes as subpaths. Source: SVG 2, chapter 10 (start points and directions too)."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from itertools import pairwise

from tiler.intake.svg.lengths import read_length
from tiler.intake.svg.pathdata import read_path_data, read_points
from tiler.intake.svg.subpath import Arc, Step, Subpath
from tiler.intake.svg.viewport import Viewport
from tiler.intake.svg.xmltree import Node
from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Straight


def read_shape(node: Node, style: Mapping[str, str], viewport: Viewport) -> list[Subpath]:
    """The lines of a shape, in its own user units; none when a side or radius is zero.

    Args:
        node: One of the elements in `SHAPES`.
        style: Its properties after the cascade, the geometry attributes among them.
        viewport: What percentages are taken of.

    Raises:
        DrawingError: Broken numbers, or a negative size.
    """
    return SHAPES[node.name](_Sizes(node, style, viewport))


class _Sizes:
    """Reads one element's lengths in user units."""

    def __init__(self, node: Node, style: Mapping[str, str], viewport: Viewport) -> None:
        self.node = node
        self.style = style
        self.viewport = viewport

    def across(self, name: str) -> float:
        return self._read(name, self.viewport.width) or 0.0

    def down(self, name: str) -> float:
        return self._read(name, self.viewport.height) or 0.0

    def size(self, name: str, whole: float) -> float | None:
        value = self._read(name, whole)
        if value is not None and value < 0:
            raise self.node.fault(f"its {name} is negative", "Give it a size above zero.")
        return value

    def _read(self, name: str, whole: float) -> float | None:
        text = self.style.get(name)
        if text is None:
            text = self.node.get(name)
        if text is None or text.strip() == "auto":
            return None
        return read_length(self.node, name, text).user(whole)

    def radii(self) -> tuple[float, float]:
        """rx and ry, each standing in for the other where it is left out."""
        rx = self.size("rx", self.viewport.width)
        ry = self.size("ry", self.viewport.height)
        return (rx or 0.0) if rx is not None else (ry or 0.0), (
            (ry or 0.0) if ry is not None else (rx or 0.0)
        )


def _path(sizes: _Sizes) -> list[Subpath]:
    return read_path_data(sizes.node, sizes.node.get("d") or "")


def _line(sizes: _Sizes) -> list[Subpath]:
    start = Point(sizes.across("x1"), sizes.down("y1"))
    end = Point(sizes.across("x2"), sizes.down("y2"))
    return [Subpath(start, [Straight(start, end)])]


def _polyline(sizes: _Sizes) -> list[Subpath]:
    points = read_points(sizes.node, sizes.node.get("points") or "")
    if not points:
        return []
    steps: list[Step] = [Straight(a, b) for a, b in pairwise(points)]
    return [Subpath(points[0], steps)]


def _polygon(sizes: _Sizes) -> list[Subpath]:
    found = _polyline(sizes)
    for subpath in found:
        subpath.closed = True
    return found


def _rect(sizes: _Sizes) -> list[Subpath]:
    width = sizes.size("width", sizes.viewport.width)
    height = sizes.size("height", sizes.viewport.height)
    rx, ry = sizes.radii()
    if not width or not height:
        return []
    x, y = sizes.across("x"), sizes.down("y")
    rx, ry = min(rx, width / 2), min(ry, height / 2)
    right, bottom = x + width, y + height
    if rx == 0 or ry == 0:
        corners = [Point(x, y), Point(right, y), Point(right, bottom), Point(x, bottom)]
        steps: list[Step] = [Straight(a, b) for a, b in pairwise(corners)]
        return [Subpath(corners[0], steps, closed=True)]
    ends = [
        (Point(x + rx, y), Point(right - rx, y), Point(right - rx, y + ry)),
        (Point(right, y + ry), Point(right, bottom - ry), Point(right - rx, bottom - ry)),
        (Point(right - rx, bottom), Point(x + rx, bottom), Point(x + rx, bottom - ry)),
        (Point(x, bottom - ry), Point(x, y + ry), Point(x + rx, y + ry)),
    ]
    rounded: list[Step] = []
    for index, (start, end, centre) in enumerate(ends):
        if start != end:
            rounded.append(Straight(start, end))
        follow = ends[(index + 1) % 4][0]
        frame = Affine(rx, 0, 0, ry, centre.x, centre.y)
        rounded.append(Arc(end, follow, frame, (index - 1) * math.pi / 2, math.pi / 2))
    return [Subpath(ends[0][0], rounded, closed=True)]


def _circle(sizes: _Sizes) -> list[Subpath]:
    radius = sizes.size("r", sizes.viewport.other)
    return _round(sizes, radius or 0.0, radius or 0.0)


def _ellipse(sizes: _Sizes) -> list[Subpath]:
    return _round(sizes, *sizes.radii())


def _round(sizes: _Sizes, rx: float, ry: float) -> list[Subpath]:
    if rx == 0 or ry == 0:
        return []
    frame = Affine(rx, 0, 0, ry, sizes.across("cx"), sizes.down("cy"))
    corners = [frame(Point(*unit)) for unit in ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 0))]
    steps: list[Step] = [
        Arc(corners[i], corners[i + 1], frame, i * math.pi / 2, math.pi / 2) for i in range(4)
    ]
    return [Subpath(corners[0], steps, closed=True)]


SHAPES: dict[str, Callable[[_Sizes], list[Subpath]]] = {
    "path": _path,
    "line": _line,
    "polyline": _polyline,
    "polygon": _polygon,
    "rect": _rect,
    "circle": _circle,
    "ellipse": _ellipse,
}
