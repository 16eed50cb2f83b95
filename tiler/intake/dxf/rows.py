"""Lines and arcs of DXF as rows of points."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ezdxf.entities.arc import Arc
from ezdxf.entities.circle import Circle
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.line import Line as LineEntity
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.polyline import Polyline
from ezdxf.math import OCS, Vec3

from tiler.intake.piece import LARGEST
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError

#: How far (millimetres) an arc's chords may lie from it; the curve through its points is nearer.
ARC_CHORD = 0.01
#: Vertices that only pull a curve which other vertices draw (DXF Reference, VERTEX, code 70).
_FRAME = 16
_MESH = 16 | 64

_Bulged = tuple[float, float, float]
Row = tuple[list[Point], list[bool | None], bool]


def row_of(entity: DXFEntity, mm: float, where: str) -> Row | None:
    """The points of a line, what is known of each, and whether it is closed.

    Args:
        entity: LINE, ARC, CIRCLE, LWPOLYLINE or POLYLINE; None comes back for any other.
        mm: Millimetres in one unit.
        where: File and entity, for messages.

    Raises:
        DrawingError: An arc too large to be one.
    """
    if isinstance(entity, LineEntity):
        ends = [point_of(Vec3(entity.dxf.start), mm), point_of(Vec3(entity.dxf.end), mm)]
        return ends, [True, True], False
    if isinstance(entity, Arc | Circle):
        radius = abs(entity.dxf.radius) * mm
        _refuse_large(radius, where)
        sagitta = min(ARC_CHORD, radius / 50) / mm
        if sagitta <= 0:
            return None
        points = [point_of(Vec3(v), mm) for v in entity.flattening(sagitta)]
        if not isinstance(entity, Arc):
            points.pop()
            return points, [False] * len(points), True
        return points, [True, *[False] * (len(points) - 2), True], False
    if isinstance(entity, LWPolyline):
        bulged = [(x, y, b) for x, y, b in entity.get_points("xyb")]
        return _bulged(bulged, entity.closed, entity.ocs(), entity.dxf.elevation, mm, where)
    if isinstance(entity, Polyline):
        if entity.dxf.flags & _MESH:
            return None
        vertices = [v for v in entity.vertices if not v.dxf.flags & _FRAME]
        if not entity.is_2d_polyline:
            points = [point_of(Vec3(v.dxf.location), mm) for v in vertices]
            return points, [None] * len(points), entity.is_closed
        bulged = [(v.dxf.location.x, v.dxf.location.y, v.dxf.bulge) for v in vertices]
        elevation = Vec3(entity.dxf.elevation).z
        return _bulged(bulged, entity.is_closed, entity.ocs(), elevation, mm, where)
    return None


def _bulged(
    vertices: Sequence[_Bulged], closed: bool, ocs: OCS, elevation: float, mm: float, where: str
) -> Row:
    """A polyline's points, those of its arcs between them.

    A bulge is the tangent of a quarter of the arc's angle, positive anticlockwise (DXF Reference,
    VERTEX, code 42).
    """
    points: list[Point] = []
    turns: list[bool | None] = []
    count = len(vertices)
    curved = [bool(b) and (closed or i < count - 1) for i, (_, _, b) in enumerate(vertices)]
    for index, (x, y, bulge) in enumerate(vertices):
        beside = curved[index] or curved[index - 1]
        row = [(x, y)]
        if curved[index]:
            nx, ny, _ = vertices[(index + 1) % count]
            row += _arc((x, y), (nx, ny), bulge, mm, where)
        points += [point_of(ocs.to_wcs(Vec3(px, py, elevation)), mm) for px, py in row]
        turns += [True if beside else None, *[False] * (len(row) - 1)]
    return points, turns, closed


def _arc(
    start: tuple[float, float], end: tuple[float, float], bulge: float, mm: float, where: str
) -> list[tuple[float, float]]:
    """Points inside an arc."""
    (ax, ay), (bx, by) = start, end
    chord = math.hypot(bx - ax, by - ay)
    if chord == 0:
        return []
    angle = 4 * math.atan(bulge)
    radius = abs(chord / 2 / math.sin(angle / 2)) if math.sin(angle / 2) else math.inf
    if radius * mm * (1 - math.cos(angle / 2)) < ARC_CHORD / 10:
        return []
    _refuse_large(radius * mm, where)
    # The middle of the circle lies on the chord's left for a positive angle below 180 degrees.
    rise = chord / 2 / math.tan(angle / 2)
    cx = (ax + bx) / 2 - (by - ay) / chord * rise
    cy = (ay + by) / 2 + (bx - ax) / chord * rise
    step = 2 * math.acos(max(0.9, 1 - ARC_CHORD / (radius * mm)))
    parts = max(4, math.ceil(abs(angle) / step))
    found = []
    for part in range(1, parts):
        turn = angle * part / parts
        cos, sin = math.cos(turn), math.sin(turn)
        dx, dy = ax - cx, ay - cy
        found.append((cx + dx * cos - dy * sin, cy + dx * sin + dy * cos))
    return found


def _refuse_large(radius: float, where: str) -> None:
    if not radius <= 50 * LARGEST:
        raise DrawingError(
            f"an arc has a radius of {radius / 1000:.4g} m",
            where=where,
            remedy="Draw it as a straight line.",
        )


def point_of(place: Vec3, mm: float) -> Point:
    """A place of the drawing in millimetres."""
    return Point(place.x * mm, place.y * mm)
