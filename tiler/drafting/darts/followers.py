"""What was drawn on an outline and has to go along when darts move that outline."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Point as ShapelyPoint
from shapely import Polygon

from tiler.drafting.darts.bench import Bench
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.drawn import STANDS
from tiler.drafting.darts.parts import distance_to
from tiler.drafting.marking.places import edge_named
from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Finding, Line, Mark, Outline, Piece, Role, Severity
from tiler.pattern.path import polyline
from tiler.pattern.segment import direction

#: A place that moves less (millimetres) stays as drawn.
_STILL = 1e-6
#: Length (millimetres) of a notch that was moved, until it is carried to the cut line.
_NOTCH = 5.0
#: A drawn notch this near (millimetres) to a leg's end is the leg's own.
_LEG = 1.0


@dataclass(frozen=True, slots=True)
class Standing:
    """A drawn thing on the stitch line, or square outside of it on the traced cut line.

    Args:
        index: Of the mark or of the line.
        end: Which end of a line; 0 for a mark.
        letter: The edge.
        along: Millimetres from its start.
    """

    index: int
    end: int
    letter: str
    along: float


def standing_marks(piece: Piece, ring: Outline, traced: Outline | None) -> list[Standing]:
    """Notches that stand on the stitch line or on the traced cut line."""
    places = [
        (index, 0, mark.at)
        for index, mark in enumerate(piece.marks)
        if mark.role is Role.NOTCH and (not mark.style or mark.style == ring.style)
    ]
    return list(_standing(places, ring, traced))


def standing_lines(piece: Piece, ring: Outline, traced: Outline | None) -> list[Standing]:
    """Ends of open lines, darts apart, that stand on the stitch line or the traced cut line."""
    places = [
        (index, end, point)
        for index, line in enumerate(piece.lines)
        if line.role not in (Role.DART, Role.STITCH) and not line.path.closed
        for end, point in enumerate((line.path.start, line.path.end))
    ]
    return list(_standing(places, ring, traced))


def _standing(
    places: list[tuple[int, int, Point]], ring: Outline, traced: Outline | None
) -> Iterator[Standing]:
    if not places:
        return
    seekers = [(edge, Seeker(edge.path)) for edge in ring.edges]
    outside = Seeker(traced.path) if traced else None
    for index, end, point in places:
        near, edge = min(
            ((seeker.nearest(point), edge) for edge, seeker in seekers),
            key=lambda pair: pair[0].distance,
        )
        if near.distance > STANDS:
            if outside is None or outside.nearest(point).distance > STANDS:
                continue
            x, y = direction(edge.path.segments[near.segment], near.t)
            beside = (point.x - near.point.x) * x + (point.y - near.point.y) * y
            if abs(beside) > STANDS:
                continue
        yield Standing(index, end, edge.letter, distance_to(edge.path, near.segment, near.t))


def moved_marks(
    piece: Piece,
    before: Outline,
    bench: Bench,
    stood: list[Standing],
    legs: list[Point],
    where: str,
) -> tuple[dict[int, Mark | None], list[Finding]]:
    """Notches after the darts were put in.

    Args:
        piece: As drawn.
        before: The stitch line as it was.
        bench: With the place of each notch under its `Standing`.
        stood: What `standing_marks` found.
        legs: Where the legs of drawn darts that are pressed stood on the stitch line.
        where: File and piece.

    Returns:
        Index of a mark -> the notch at its new place on the stitch line, from where it is to be
        carried to the cut line; or None where a leg's own notch takes its place.
    """
    moved: dict[int, Mark | None] = {}
    findings: list[Finding] = []
    for one in stood:
        mark = piece.marks[one.index]
        was = edge_named(before, one.letter, where).path.point_at(one.along)[0]
        if any(was.to(end) <= _LEG for end in legs):
            moved[one.index] = None
            continue
        place = bench.places[one]
        if place is None:
            findings.append(
                Finding(
                    "notch-in-dart",
                    Severity.WARNING,
                    where,
                    f"The notch drawn at ({mark.at.x:.1f}, {mark.at.y:.1f}) mm lies in the mouth "
                    "of a dart, where the outline is redrawn. Take it away, or move it beside the "
                    "dart.",
                )
            )
            continue
        path = edge_named(bench.ring, place[0], where).path
        point, (x, y) = path.point_at(place[1])
        if was.to(point) > _STILL:
            foot = Point(point.x + y * _NOTCH, point.y - x * _NOTCH)
            moved[one.index] = Mark(Role.NOTCH, point, polyline([point, foot]), mark.style)
    return moved, findings


def left_behind(
    piece: Piece, before: Outline, bench: Bench, stood: list[Standing], where: str
) -> Iterator[Finding]:
    """Tell of lines that ended on the outline and end elsewhere now."""
    for one in stood:
        line: Line = piece.lines[one.index]
        was = edge_named(before, one.letter, where).path.point_at(one.along)[0]
        now = bench.point(one)
        if now is None or was.to(now) > STANDS:
            yield Finding(
                "line-left-behind",
                Severity.WARNING,
                where,
                f"The {line.role} line that ends on the outline at ({was.x:.1f}, {was.y:.1f}) mm "
                "stays as drawn, while a dart moves the outline there. Move its end in the "
                "drawing, or draw the block with its dart open.",
            )


def moved_drills(
    piece: Piece, darts: list[tuple[Dart, Dart]], style: str
) -> dict[int, Mark | None]:
    """Drill marks of drawn darts whose tips have moved.

    Args:
        piece: As drawn.
        darts: Each as drawn and as it is.
        style: Of the stitch line.
    """
    moved: dict[int, Mark | None] = {}
    for old, new in darts:
        by = new.tip.x - old.tip.x, new.tip.y - old.tip.y
        if max(map(abs, by)) <= _STILL:
            continue
        for index, mark in enumerate(piece.marks):
            if mark.role is Role.DRILL and mark.style in ("", style) and within(old, mark.at):
                shift = Affine.move(*by)
                moved[index] = Mark(mark.role, shift(mark.at), mark.path.moved(shift), mark.style)
    return moved


def within(dart: Dart, point: Point) -> bool:
    """Whether a point lies in the triangle of a dart, or within 1 mm of it."""
    return bool(Polygon([dart.left, dart.tip, dart.right]).distance(ShapelyPoint(point)) <= _LEG)
