"""Rectangular blocks for the tests of darts, notches and marks: all can be told by hand."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Lies, Line, Mark, Outline, Part, Piece, Role
from tiler.pattern.path import circle, polyline
from tiler.pattern.wishes import Wishes

#: 200 wide, 300 high: A up the fold, B waist, C side, D hem.
CORNERS = ((0, 0), (0, 300), (200, 300), (200, 0))


def block(
    wishes: Wishes | None = None,
    *,
    by: Affine = Affine(),  # noqa: B008
    lines: tuple[Line, ...] = (),
    marks: tuple[Mark, ...] = (),
    fold: bool = True,
    part: Part | None = None,
    allowance: float | None = 15.0,
    name: str = "Back",
) -> Piece:
    """A piece traced along its stitch line, with its stitch ring found."""
    corners = [by(Point(*p)) for p in CORNERS]
    ends = [*corners[1:], corners[0]]
    edges = tuple(
        Edge(letter, polyline([a, b]), Lies.FOLD if fold and letter == "A" else Lies.SEWN)
        for letter, a, b in zip("ABCD", corners, ends, strict=True)
    )
    ring = Outline(Role.STITCH, edges)
    return Piece(
        name,
        (ring,),
        lines,
        marks,
        allowance=allowance,
        drawing="back.svg",
        part=part,
        wishes=wishes or Wishes(),
        stitch=(ring,),
    )


def dart_line(*points: tuple[float, float], closed: bool = False) -> Line:
    """A drawn dart."""
    return Line(Role.DART, polyline([Point(*p) for p in points], closed=closed))


def drill_at(x: float, y: float) -> Mark:
    """A drawn drill mark."""
    return Mark(Role.DRILL, Point(x, y), circle(Point(x, y), 1.5))


def notch_at(x: float, y: float, to_x: float, to_y: float) -> Mark:
    """A drawn notch."""
    return Mark(Role.NOTCH, Point(x, y), polyline([Point(x, y), Point(to_x, to_y)]))
