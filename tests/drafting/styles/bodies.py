"""Bodies with lines of styles on them."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from hypothesis import assume
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.strategies import outlines, paths
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Line, Outline, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.wishes import StyleWish, Wishes


def body(
    *places: tuple[float, float],
    lies: dict[str, Lies] | None = None,
    allowances: dict[str, float] | None = None,
) -> Outline:
    """A stitch line with straight edges between corners given clockwise."""
    points = [Point(*place) for place in places]
    ends = [*points[1:], points[0]]
    return Outline(
        Role.STITCH,
        tuple(
            Edge(
                letter,
                polyline([a, b]),
                (lies or {}).get(letter, Lies.SEWN),
                f"name of {letter}",
                (allowances or {}).get(letter),
            )
            for letter, a, b in zip("ABCDEFGHIJ", points, ends, strict=False)
        ),
    )


def line(style: str, *places: tuple[float, float], role: Role = Role.STITCH) -> Line:
    return Line(role, polyline([Point(*place) for place in places]), style)


def piece_of(
    outline: Outline,
    lines: Sequence[Line],
    styles: dict[str, str],
    allowance: float | None = 10.0,
) -> Piece:
    """A piece as it comes to the step of the styles; `styles` as in a pattern file."""
    wishes = tuple(StyleWish(style, tuple(letters)) for style, letters in styles.items())
    stitch = (outline,) if outline.role is Role.STITCH else ()
    return Piece(
        "Front",
        (outline,),
        tuple(lines),
        allowance=allowance,
        drawing="front.svg",
        wishes=Wishes(styles=wishes),
        stitch=stitch,
    )


def shape(path: Path) -> shapely.Polygon:
    return shapely.Polygon(path.flattened(0.005))


def drawn(path: Path) -> shapely.LineString:
    return shapely.LineString(path.flattened(0.002))


def apart(one: Path, other: Path) -> float:
    """Millimetres (Hausdorff) between two paths."""
    return float(shapely.hausdorff_distance(drawn(one), drawn(other), densify=0.05))


@st.composite
def styled_lines(draw: DrawFn, outline: Outline, style: str) -> tuple[Line, str]:
    """A line that lands on the neighbours of one edge, and the letter of that edge."""
    edges = outline.edges
    index = draw(st.integers(0, len(edges) - 1))
    before, after = edges[index - 1], edges[(index + 1) % len(edges)]
    start = before.path.point_at(before.path.length * draw(st.sampled_from((1.0, 0.9, 0.75))))[0]
    end = after.path.point_at(after.path.length * draw(st.sampled_from((0.0, 0.1, 0.2))))[0]
    corner = edges[index].path.start
    start = corner if start.to(corner) < 3 else start
    corner = edges[index].path.end
    end = corner if end.to(corner) < 3 else end
    path = draw(paths(start, end, bend=0.3))
    return Line(Role.STITCH, path if draw(st.booleans()) else path.reversed(), style), edges[
        index
    ].letter


@st.composite
def nested(draw: DrawFn, count: int = 2) -> Piece:
    """A body with one line in each of some styles, and one style along the body itself."""
    outline = draw(outlines(60.0, 300.0).filter(lambda o: o.role is Role.STITCH))
    found = [draw(styled_lines(outline, f"s{number}")) for number in range(count)]
    styles = {each.style: letter for each, letter in found}
    for each, letter in found:
        index = "ABCDEFGH".index(letter)
        ring = outline.edges[index].path
        assume(each.path.length > 5)
        assume(apart(each.path, ring) > 1.0)
    return piece_of(outline, [each for each, _ in found], {**styles, "plain": "A"})
