"""Drafted pieces made by hand: polygons and curves whose lengths and angles are known."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tiler.drafting.allowance import cut_outline
from tiler.pattern.affine import Point
from tiler.pattern.model import (
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
    Seam,
)
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Segment, Straight
from tiler.pattern.wishes import EdgeName

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
#: A corner, or what runs from the corner before to the next one.
Places = Sequence[tuple[float, float]]


def edges_round(places: Places, curves: Mapping[int, Sequence[Segment]]) -> list[Path]:
    """Paths between corners, clockwise; straight where no curve is given for the edge."""
    corners = [Point(*place) for place in places]
    paths = []
    for number, (a, b) in enumerate(zip(corners, [*corners[1:], corners[0]], strict=True)):
        paths.append(Path(tuple(curves.get(number, (Straight(a, b),)))))
    return paths


def piece(
    name: str,
    places: Places,
    *,
    curves: Mapping[int, Sequence[Segment]] | None = None,
    lies: Mapping[str, Lies] | None = None,
    widths: Mapping[str, float] | None = None,
    names: Mapping[str, str] | None = None,
    allowance: float = 15.0,
    cut: Cut | None = None,
) -> Piece:
    """A piece with a stitch ring, and the cut line that goes with it.

    Args:
        name: Its name.
        places: Corners of the stitch line, clockwise (y up); edge A runs from the first.
        curves: Number of an edge -> its segments, where it is no straight line.
        lies: Letter -> what becomes of the edge; sewn where nothing is said.
        widths: Letter -> allowance; that of the piece where nothing is said, 0 on a fold.
        names: Letter -> name.
        allowance: The piece's own.
        cut: How it is cut.
    """
    kinds, own = lies or {}, widths or {}
    edges = []
    for letter, path in zip(LETTERS, edges_round(places, curves or {}), strict=False):
        kind = kinds.get(letter, Lies.SEWN)
        width = 0.0 if kind is Lies.FOLD else own.get(letter)
        edges.append(Edge(letter, path, kind, (names or {}).get(letter, ""), width))
    stitch = Outline(Role.STITCH, tuple(edges))
    all_widths = {e.letter: allowance if e.allowance is None else e.allowance for e in edges}
    return Piece(
        name,
        (cut_outline(stitch, all_widths),),
        cuts=(cut or Cut(1, "main", Lay.COPIES),),
        allowance=allowance,
        stitch=(stitch,),
    )


def notch(on: Piece, letter: str, at: float, depth: float = 5.0) -> Mark:
    """A notch on the cut line, square over a place of the stitch line."""
    edge = next(edge for edge in on.stitch[0].edges if edge.letter == letter)
    width = on.allowance if edge.allowance is None else edge.allowance
    assert width is not None
    point, (x, y) = edge.path.point_at(at)
    # Clockwise, outside is on the left.
    top = Point(point.x - y * width, point.y + x * width)
    inner = Point(point.x - y * (width - depth), point.y + x * (width - depth))
    return Mark(Role.NOTCH, top, polyline([top, inner]))


def notched(on: Piece, letter: str, *at: float, depth: float = 5.0) -> Piece:
    """The piece with more notches on an edge."""
    marks = tuple(notch(on, letter, place, depth) for place in at)
    return replace(on, marks=(*on.marks, *marks))


def dart(*points: tuple[float, float]) -> Line:
    """A dart: leg end, tip, leg end."""
    return Line(Role.DART, polyline([Point(*point) for point in points]))


def edge_name(words: str) -> EdgeName:
    name, _, letter = words.rpartition(".")
    return EdgeName(name, letter)


def seam(first: str, second: str, name: str = "", ease: tuple[float, float] = (0, 0)) -> Seam:
    """A seam; edges of a side are parted by +."""
    sides = [tuple(edge_name(w.strip()) for w in side.split("+")) for side in (first, second)]
    return Seam(sides[0], sides[1], ease, name=name, where="pattern.toml line 9")


def pattern(*pieces: Piece, seams: Sequence[Seam] = (), joined: Sequence[tuple[str, str]] = (),
            cloths: Sequence[str] = ("main",)) -> Pattern:  # fmt: skip
    """A pattern of them."""
    return Pattern(
        "Made by hand",
        pieces,
        seams=tuple(seams),
        joined=tuple(joined),
        cloths=tuple((cloth, cloth) for cloth in cloths),
    )
