"""Random pieces such as garments have: rings of lines and cubics, inner lines, marks and a grain.

Everything is simple (no outline crosses itself) and no smaller than 60 mm, so that a failure is
never the fault of an absurd drawing.
"""

from __future__ import annotations

import math

import shapely
from hypothesis import assume
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn, SearchStrategy

from tiler.pattern.affine import Affine, Point
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
    Source,
)
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic, Segment, Straight, direction

_NAMES = ("Front", "Back", "Sleeve", "Collar", "Cuff", "Yoke", "Pocket", "Gusset")
_INNER = (Role.STITCH, Role.FOLD, Role.DART, Role.INSIDE)


def lengths(low: float, high: float) -> SearchStrategy[float]:
    """Millimetres, to a hundredth."""
    return st.integers(round(low * 100), round(high * 100)).map(lambda n: n / 100)


@st.composite
def paths(draw: DrawFn, start: Point, end: Point, bend: float = 0.2) -> Path:
    """A straight line or a curve between two points, sometimes cut in two segments."""
    if draw(st.booleans()):
        return Path((Straight(start, end),))
    dx, dy = end.x - start.x, end.y - start.y
    first, second = (draw(lengths(-bend / 2, bend)) for _ in range(2))
    # Positive bends lie to the left of the way, which is outside on a clockwise ring.
    curve = Cubic(
        start,
        Point(start.x + dx / 3 - dy * first, start.y + dy / 3 + dx * first),
        Point(start.x + dx * 2 / 3 - dy * second, start.y + dy * 2 / 3 + dx * second),
        end,
    )
    segments: tuple[Segment, ...] = curve.split(0.4) if draw(st.booleans()) else (curve,)
    return Path(segments)


@st.composite
def outlines(
    draw: DrawFn, smallest: float = 30.0, largest: float = 400.0, style: str = ""
) -> Outline:
    """A clockwise ring; its corners lie `smallest` to `largest` millimetres from the origin."""
    count = draw(st.integers(4, 8))
    corners = []
    for number in range(count):
        angle = -math.tau * (number + draw(lengths(0, 0.35))) / count
        reach = draw(lengths(smallest, largest))
        corners.append(Point(reach * math.cos(angle), reach * math.sin(angle)))
    low = min(c.x for c in corners), min(c.y for c in corners)
    first = min(range(count), key=lambda i: corners[i].to(Point(*low)))
    corners = corners[first:] + corners[:first]
    edges = []
    for number, start in enumerate(corners):
        path = draw(paths(start, corners[(number + 1) % count]))
        straight = all(isinstance(segment, Straight) for segment in path.segments)
        lies = draw(st.sampled_from(Lies)) if straight else Lies.SEWN
        edges.append(Edge("ABCDEFGH"[number], path, lies))
    role = draw(st.sampled_from((Role.CUT, Role.STITCH)))
    outline = Outline(role, tuple(edges), style)
    assume(shapely.Polygon(outline.path.flattened(0.1)).is_valid)
    return outline


@st.composite
def pieces(
    draw: DrawFn, name: str = "Front", smallest: float = 30.0, largest: float = 400.0
) -> Piece:
    """A piece with one outline and, perhaps, lines inside, notches, a drill point and a grain."""
    outline = draw(outlines(smallest, largest))
    centre = Point(0, 0)
    rays = [Straight(centre, corner) for corner in outline.path.nodes()]

    def inside() -> Point:
        return draw(st.sampled_from(rays)).at(draw(lengths(0.1, 0.6)))

    lines = []
    for role in draw(st.lists(st.sampled_from(_INNER), max_size=3)):
        start, end = inside(), inside()
        if start.to(end) > 5:
            lines.append(Line(role, draw(paths(start, end, bend=0.05))))
    marks = []
    for edge in draw(st.lists(st.sampled_from(outline.edges), max_size=2, unique=True)):
        segment = edge.path.segments[0]
        at, (dx, dy) = segment.at(0.5), direction(segment, 0.5)
        marks.append(Mark(Role.NOTCH, at, polyline([at, Point(at.x + dy * 5, at.y - dx * 5)])))
    if draw(st.booleans()):
        marks.append(Mark(Role.DRILL, centre, circle(centre, 1.5)))
    reach = draw(lengths(10, smallest * 0.6)) if smallest > 20 else 8.0
    grain = polyline([Point(1, -reach), Point(1, reach)]) if draw(st.booleans()) else None
    piece = Piece(
        name,
        (outline,),
        tuple(lines),
        tuple(marks),
        grain,
        cuts=draw(st.sampled_from(((), (Cut(1, "main", Lay.FOLD),), (Cut(2, "main", Lay.PAIR),)))),
        allowance=draw(st.sampled_from((None, 10.0, 15.0))),
        notes=draw(st.sampled_from(((), ("Ease the edge in between the notches.",)))),
        drawing=f"{name.lower()}.svg",
    )
    # A drawing program puts things anywhere.
    return moved(piece, Affine.move(draw(lengths(-500, 500)), draw(lengths(-500, 500))))


@st.composite
def patterns(
    draw: DrawFn, most: int = 4, smallest: float = 30.0, largest: float = 400.0
) -> Pattern:
    """A pattern of one to `most` pieces with names of their own."""
    count = draw(st.integers(1, most))
    drawn = tuple(draw(pieces(name, smallest, largest)) for name in _NAMES[:count])
    source = Source("pattern.toml", draw(st.binary(min_size=1, max_size=20)))
    return Pattern(
        title=draw(st.sampled_from(("Potting apron", "Gardener’s smock, long"))),
        pieces=drawn,
        maker=draw(st.sampled_from(("", "Marrow Lane Allotment Society"))),
        version=draw(st.sampled_from(("", "2"))),
        cloths=(("main", "Canvas"),),
        sources=(source,),
    )


def moved(piece: Piece, by: Affine) -> Piece:
    """The same piece somewhere else."""
    outlines = tuple(
        Outline(
            o.role,
            tuple(Edge(e.letter, e.path.moved(by), e.lies, e.name) for e in o.edges),
            o.style,
        )
        for o in piece.outlines
    )
    return Piece(
        piece.name,
        outlines,
        tuple(Line(line.role, line.path.moved(by), line.style) for line in piece.lines),
        tuple(Mark(m.role, by(m.at), m.path.moved(by), m.style) for m in piece.marks),
        piece.grain.moved(by) if piece.grain else None,
        piece.cuts,
        piece.allowance,
        piece.notes,
        piece.drawing,
    )


def rectangular(name: str, width: float, height: float, **facts: object) -> Piece:
    """A plain rectangle with its lower left corner at the origin, edge A on the left."""
    corners = [Point(0, 0), Point(0, height), Point(width, height), Point(width, 0)]
    edges = tuple(
        Edge(letter, polyline([corners[i], corners[(i + 1) % 4]]))
        for i, letter in enumerate("ABCD")
    )
    return Piece(name, (Outline(Role.CUT, edges),), **facts)  # type: ignore[arg-type]


def pattern_of(*pieces: Piece, title: str = "Seed apron", **facts: object) -> Pattern:
    """A pattern of these pieces, with a source so that it has a digest of its own."""
    source = Source("pattern.toml", f"title = '{title}'".encode())
    return Pattern(title, pieces, sources=(source,), **facts)  # type: ignore[arg-type]
