"""Darts, notches and other marks of a piece for the screen, each in a layer of its own."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tiler.drafting.darts.parts import distance_to
from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Line, Mark, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.sheets.benchpieceedges import in_style
from tiler.sheets.drawing import Group, Item, Pen, Stroke
from tiler.sheets.pens import PENS

#: A dot that keeps its size on the screen, where the mark itself may be smaller than a pixel.
_DOT = Pen(1.6)
#: The line on which a dart is folded.
_MIDDLE = Pen(0.2, grey=0.4, dash=(1.6, 1.6))
#: A notch is heavier than on paper: it is the shortest of all lines.
_NOTCH = Pen(0.8)


@dataclass(frozen=True)
class ToldMark:
    """A notch or another mark, and where it stands.

    Args:
        layer: `notch:1`, `mark:1` …
        mark: As drafted.
        edge: The edge of the outline that a notch stands on; None for what lies on the piece.
        along: Millimetres along its stitch line from the edge's start, clockwise; along the
            outline where the stitch line is not known.
    """

    layer: str
    mark: Mark
    edge: Edge | None = None
    along: float = 0.0


@dataclass(frozen=True)
class ToldDart:
    """A dart as it is drawn.

    Args:
        layer: `dart:1` …
        line: As drafted.
        corners: Leg end, tip, leg end; or leg end and tip on a fold; or, of a dart with two tips,
            its corners all round.
    """

    layer: str
    line: Line
    corners: tuple[Point, ...]

    @property
    def legs(self) -> tuple[float, ...]:
        """Millimetres of its legs, one after the other."""
        round_trip = (*self.corners, *(self.corners[:1] if self.line.path.closed else ()))
        return tuple(a.to(b) for a, b in pairwise(round_trip))

    @property
    def intake(self) -> float:
        """Millimetres between the legs where they are widest apart; 0 where a fold hides half."""
        if self.line.path.closed and len(self.corners) == 4:
            return self._widest[0].to(self._widest[1])
        return self.corners[0].to(self.corners[-1]) if len(self.corners) == 3 else 0.0

    @property
    def middle(self) -> Path | None:
        """The line on which it is folded; None where that is the fold of the piece."""
        if self.line.path.closed and len(self.corners) == 4:
            return polyline(self._tips)
        if len(self.corners) != 3:
            return None
        left, tip, right = self.corners
        return polyline([tip, Point((left.x + right.x) / 2, (left.y + right.y) / 2)])

    @property
    def _tips(self) -> tuple[Point, Point]:
        a, b, c, d = self.corners
        return (a, c) if a.to(c) >= b.to(d) else (b, d)

    @property
    def _widest(self) -> tuple[Point, Point]:
        a, b, c, d = self.corners
        return (b, d) if a.to(c) >= b.to(d) else (a, c)


def told_darts(piece: Piece) -> tuple[ToldDart, ...]:
    """The darts in the order in which they are drawn."""
    lines = [line for line in piece.lines if line.role is Role.DART]
    return tuple(
        ToldDart(f"dart:{number}", line, _corners(line.path))
        for number, line in enumerate(lines, start=1)
    )


def told_marks(piece: Piece) -> tuple[ToldMark, ...]:
    """Notches, numbered clockwise along the edges as far as they stand on one; then other marks."""
    edges = [
        (edge, Seeker(edge.path), Seeker(seam.path))
        for edge, seam in _edges_and_seams(piece).items()
    ]
    notches = []
    for mark in piece.marks:
        if mark.role is Role.NOTCH:
            edge, _, seam = min(edges, key=lambda each: each[1].nearest(mark.at).distance)
            near = seam.nearest(mark.at)
            notches.append((edge, distance_to(seam.path, near.segment, near.t), mark))
    notches.sort(key=lambda each: (len(each[0].letter), each[0].letter, each[1]))
    found = [
        ToldMark(f"notch:{number}", mark, edge, along)
        for number, (edge, along, mark) in enumerate(notches, start=1)
    ]
    others = [mark for mark in piece.marks if mark.role is not Role.NOTCH]
    found += [ToldMark(f"mark:{number}", mark) for number, mark in enumerate(others, start=1)]
    return tuple(found)


def dart_groups(piece: Piece) -> list[Item]:
    """Legs and middle of each dart, in a layer `dart:1` …"""
    items: list[Item] = []
    for dart in told_darts(piece):
        strokes: list[Item] = [Stroke((dart.line.path,), PENS[Role.DART])]
        if dart.middle:
            strokes.append(Group((Stroke((dart.middle,), _MIDDLE),), layers=("middle",)))
        items.append(_grouped(strokes, dart.layer, dart.line.style))
    return items


def mark_groups(piece: Piece) -> list[Item]:
    """Each notch in a layer `notch:1` …, each other mark in `mark:1` … with a dot that is seen."""
    items: list[Item] = []
    for told in told_marks(piece):
        mark = told.mark
        if mark.role is Role.NOTCH:
            strokes: list[Item] = [Stroke((mark.path,), _NOTCH)]
        else:
            strokes = [Stroke((mark.path,), PENS[mark.role])]
            if mark.role is not Role.BUTTONHOLE:
                dot = Stroke((polyline([mark.at, mark.at]),), _DOT)
                strokes.append(Group((dot,), layers=("dot",)))
        items.append(_grouped(strokes, told.layer, mark.style))
    return items


def _grouped(strokes: list[Item], layer: str, style: str) -> Group:
    return Group(tuple(in_style(strokes, style)), layers=(layer,))


def _edges_and_seams(piece: Piece) -> dict[Edge, Edge]:
    found: dict[Edge, Edge] = {}
    for number, outline in enumerate(piece.outlines):
        rings = piece.stitch[number : number + 1]
        seams = {edge.letter: edge for ring in rings for edge in ring.edges}
        found |= {edge: seams.get(edge.letter, edge) for edge in outline.edges}
    return found


def _corners(path: Path) -> tuple[Point, ...]:
    points = tuple(path.nodes())
    return points[:-1] if path.closed else points
