"""Points, lines and texts as DXF entities of release 12, in millimetres."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.dxf.layers import APPLICATION, Layer
from tiler.output.dxf.tags import TEXT_LIMIT, Tag, encoded, parts_of
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic

#: Group codes of extended data: the application, a text, a place that moves with the entity.
_USER, _WORDS, _PLACE = 1001, 1000, 1011
#: An entity carries at most 16 kB of extended data (DXF Reference); a place takes 24 bytes.
_MOST_PLACES = 500


def line(layer: Layer, start: Point, end: Point, said: Sequence[Tag] = ()) -> list[Tag]:
    """A straight line."""
    return [(0, "LINE"), (8, str(layer.value)), *_at(start, 10), *_at(end, 11), *said]


def point(layer: Layer, at: Point, said: Sequence[Tag] = ()) -> list[Tag]:
    """A point."""
    return [(0, "POINT"), (8, str(layer.value)), *_at(at, 10), *said]


def polyline(
    layer: Layer, points: Sequence[Point], closed: bool, said: Sequence[Tag] = ()
) -> list[Tag]:
    """A row of straight lines; a closed one doesn't repeat its first point."""
    on: Tag = (8, str(layer.value))
    tags: list[Tag] = [(0, "POLYLINE"), on, (66, 1), *_at(Point(0, 0), 10), (70, int(closed))]
    tags += said
    for each in points:
        tags += [(0, "VERTEX"), on, *_at(each, 10)]
    return [*tags, (0, "SEQEND"), on]


def field(layer: Layer, at: Point, height: float, key: str, value: str) -> list[Tag]:
    """A text ``Key: value``; a long one goes on in texts ``Key, continued: …`` below it."""
    tags: list[Tag] = []
    head = f"{key}: "
    for number, part in enumerate(parts_of(value, TEXT_LIMIT - len(f"{key}, continued: "))):
        place = Point(at.x, at.y - number * height / 2)
        tags += [(0, "TEXT"), (8, str(layer.value)), *_at(place, 10), (40, height)]
        tags += [(1, f"{head}{encoded(part)}".rstrip())]
        head = f"{key}, continued: "
    return tags


def insert(block: str, at: Point) -> list[Tag]:
    """A block placed at its true size, upright."""
    return [(0, "INSERT"), (8, str(Layer.BOUNDARY.value)), (2, block), *_at(at, 10)]


def extended(role: str = "", variant: str = "", drawn: Path | None = None) -> list[Tag]:
    """Extended data of our own; see `tiler.intake.dxf.extended` for what they mean.

    Args:
        role: What the line is for, where its layer does not say.
        variant: Number of its style, such as ``2`` or ``1+3``; empty when all share it.
        drawn: How a notch or drill point is drawn; left out when it has too many nodes to carry.
    """
    tags: list[Tag] = []
    if role:
        tags.append((_WORDS, f"role={role}"))
    if variant:
        tags.append((_WORDS, f"variant={variant}"))
    if drawn and len(drawn.segments) * 3 < _MOST_PLACES and len(drawn.segments) < 200:
        letters = "".join("C" if isinstance(s, Cubic) else "L" for s in drawn.segments)
        tags.append((_WORDS, f"drawn={letters}{'Z' if drawn.closed else ''}"))
        places = [drawn.start, *(p for segment in drawn.segments for p in segment[1:])]
        for place in places:
            tags += _at(place, _PLACE)
    return [(_USER, APPLICATION), *tags] if tags else []


def _at(place: Point, code: int) -> list[Tag]:
    return [(code, float(place.x)), (code + 10, float(place.y)), (code + 20, 0.0)]
