"""From measured points to a drawn sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.edges import CORNER_TURN
from tiler.intake.marks import drill_cross
from tiler.intake.nearest import Seeker
from tiler.intake.points.curve import smooth_through
from tiler.intake.points.point import Kind, Measured
from tiler.intake.points.table import points_in
from tiler.pattern.affine import Point
from tiler.pattern.bounds import bounds_of
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Finding, Role, Severity
from tiler.pattern.path import Path, circle
from tiler.pattern.segment import Segment, Straight, direction, turn_between
from tiler.pattern.units import format_mm

#: Points nearer to one another (millimetres) are one point, measured twice.
_SAME = 0.01
#: A notch this far (millimetres) from the outline is moved on to it, and told beyond the first.
_TOLD, _NOTCH_REACH = 0.5, 5.0
#: Length of the stroke of a notch, half that of a drill mark, radius of a corner mark.
_NOTCH, _STROKE, _MARK = 6.0, 3.0, 1.0


def read_points(content: bytes, name: str) -> DrawnSheet:
    """Read a table of measured points (.csv) as a drawing of one piece.

    Args:
        content: The file, byte for byte.
        name: Its name, for messages.

    Raises:
        DrawingError: It is no such table, or its points make no piece; with line and column.
    """
    try:
        return sheet_of(points_in(content), name)
    except DrawingError as error:
        raise error.within(name) from None


def sheet_of(points: Sequence[Measured], name: str) -> DrawnSheet:
    """A drawing of measured points.

    Corners and curve points are joined in their order, and the last with the first: two corners
    beside each other by a straight line, corners with curve points between them by a smooth curve
    through all of them. Without a corner the whole outline is smooth. The outline has no role.

    Args:
        points: In the order of the table.
        name: Name of the drawing, for messages.

    Raises:
        DrawingError: Too few points, one twice, a grainline that is not two points, or a notch
            that is not on the outline.
    """
    ring = _ring([point for point in points if point.kind in (Kind.CORNER, Kind.CURVE)])
    outline = Path(_segments(ring), closed=True)
    findings: list[Finding] = []
    paths = (
        DrawnPath(outline, None, "", False, "the outline through the points", ()),
        *_corner_marks(ring, outline),
        *_notches(points, outline, name, findings),
        *_drills(points),
        *_grain(points),
    )
    bounds = bounds_of([path.path.bounds for path in paths])
    width, height = max(bounds.right, bounds.width), max(bounds.top, bounds.height)
    return DrawnSheet(name, width, height, paths, tuple(findings))


def _ring(points: list[Measured]) -> list[Measured]:
    if len(points) > 1 and points[0].at.to(points[-1].at) <= _SAME:
        # Whoever measures round a piece often ends where they began.
        points = points[:-1]
    for before, after in pairwise([*points, *points[:1]] if len(points) > 1 else points):
        if before.at.to(after.at) <= _SAME:
            raise DrawingError(
                f"the point is the same as the one before it, at {before.where}",
                where=after.place,
                remedy="Take one of the two lines out, or correct its numbers.",
            )
    if len(points) < 3:
        raise DrawingError(
            f"the outline has {len(points)} points",
            remedy="Measure at least three, each with the kind corner or curve.",
        )
    return points


def _segments(ring: Sequence[Measured]) -> tuple[Segment, ...]:
    corners = [number for number, point in enumerate(ring) if point.kind is Kind.CORNER]
    places = [point.at for point in ring]
    if not corners:
        return smooth_through(places, closed=True)
    first = corners[0]
    places = places[first:] + places[:first]
    stops = [corner - first for corner in corners] + [len(places)]
    places.append(places[0])
    return tuple(
        segment
        for start, stop in pairwise(stops)
        for segment in smooth_through(places[start : stop + 1])
    )


def _corner_marks(ring: Sequence[Measured], outline: Path) -> Iterator[DrawnPath]:
    corners = {point.at: point for point in ring if point.kind is Kind.CORNER}
    segments = outline.segments
    for before, after in zip((segments[-1], *segments), segments, strict=False):
        corner = corners.get(after.start)
        # A little more than makes a corner by itself: what is written is rounded.
        if corner and abs(turn_between(before, after)) <= CORNER_TURN + 1:
            mark = circle(corner.at, _MARK)
            yield DrawnPath(mark, None, "", True, f"corner at {corner.place}", ())


def _notches(
    points: Sequence[Measured], outline: Path, name: str, findings: list[Finding]
) -> Iterator[DrawnPath]:
    seeker = Seeker(outline)
    inwards = 1.0 if outline.area > 0 else -1.0
    for point in points:
        if point.kind is not Kind.NOTCH:
            continue
        near = seeker.nearest(point.at)
        if near.distance > _NOTCH_REACH:
            raise DrawingError(
                f"the notch is {format_mm(near.distance)} away from the outline",
                where=point.place,
                remedy="Measure it again, or call it a drill when it is inside the piece.",
            )
        if near.distance > _TOLD:
            findings.append(
                Finding(
                    "notch-moved",
                    Severity.NOTE,
                    f"{name}, {point.place}",
                    f"The notch was {format_mm(near.distance)} away from the outline and was moved "
                    "on to it.",
                )
            )
        dx, dy = direction(outline.segments[near.segment], near.t)
        foot = near.point
        inner = Point(foot.x - dy * inwards * _NOTCH, foot.y + dx * inwards * _NOTCH)
        stroke = Path((Straight(foot, inner),))
        yield DrawnPath(stroke, Role.NOTCH, "", False, f"notch at {point.place}", ())


def _drills(points: Sequence[Measured]) -> Iterator[DrawnPath]:
    for point in points:
        if point.kind is Kind.DRILL:
            cross = drill_cross(point.at, _STROKE)
            yield DrawnPath(cross, Role.DRILL, "", False, f"drill mark at {point.place}", ())


def _grain(points: Sequence[Measured]) -> Iterator[DrawnPath]:
    ends = [point for point in points if point.kind is Kind.GRAIN]
    if not ends:
        return
    if len(ends) != 2:
        raise DrawingError(
            f"the grainline has {len(ends)} point{'s' if len(ends) > 1 else ''}",
            where=ends[-1].place,
            remedy="Write two lines of the kind grain: its lower and its upper end.",
        )
    line = Path((Straight(ends[0].at, ends[1].at),))
    yield DrawnPath(line, Role.GRAIN, "", False, f"grainline at {ends[0].place}", ())
