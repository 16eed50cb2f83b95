"""The pieces of a lay plan, and how each lies.

Paper that lies face down is hatched, an edge on the fold is a bar, and both are said in words where
there is room; nothing depends on colour. Coordinates as in `layplancloth`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.cloth.model import Laid
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline
from tiler.sheets.drawing import Fill, Group, Item, Pen, Stroke
from tiler.sheets.layplannames import name_beside, name_in
from tiler.sheets.layplanrows import Row
from tiler.sheets.layplantold import Told

OUTLINE, ON_FOLD, HATCH = Pen(0.35), Pen(1.4), Pen(0.15, grey=0.3)
#: Between two lines of the hatch, and round what stands on it, millimetres of the picture.
HATCH_APART, CLEAR = 2.2, 0.7
#: How near to the fold an edge lies on it, millimetres of cloth.
_AT_FOLD = 0.5
#: A smaller share of a piece, left over in a further row, needs no name of its own.
_SLIVER = 0.1


def draw_pieces(row: Row, told: Mapping[Laid, Told], scale: int, *, nap: bool) -> list[Item]:
    """The pieces of a row, those that go on in another one cut off at its end.

    Args:
        row: A stretch of the length.
        told: What is said of each cut.
        scale: 1 : `scale`.
        nap: Whether an arrow has one head alone, since the piece must not be turned round.
    """
    at = Affine.move(-row.start, 0).then(Affine.scale(1 / scale, 1 / scale))
    box = Bounds(0.0, 0.0, (row.end - row.start) / scale, row.tall / scale)
    # The bar on the fold is half outside.
    window = box._replace(bottom=-ON_FOLD.width, top=box.top + ON_FOLD.width)
    ground: BaseGeometry = shapely.box(*box)
    drawn: list[Item] = []
    words: list[Item] = []
    nameless: list[tuple[BaseGeometry, Told]] = []
    for laid in row.part.laid:
        ring = [at(Point(*point)) for point in laid.outline]
        shape = shapely.make_valid(shapely.Polygon(ring))
        seen = _largest(shape & shapely.box(*box))
        if seen.area <= 0:
            continue
        named = name_in(seen, told[laid], nap=nap)
        drawn += _piece(ring, shape.difference(named.blocked.buffer(CLEAR)), laid, scale)
        words += named.items
        ground = ground - shape
        if not named.named and seen.area > _SLIVER * shape.area:
            nameless.append((seen, told[laid]))
    for seen, what in nameless:
        beside = name_beside(seen, what, ground)
        words += beside.items
        ground = ground - beside.blocked
    return [Group(tuple(drawn), window=window), *words]


def _piece(ring: list[Point], free: BaseGeometry, laid: Laid, scale: int) -> Iterator[Item]:
    path = polyline(ring, closed=True)
    yield Fill((path,), 1.0)
    if laid.mirrored:
        yield Stroke(tuple(hatched(free)), HATCH)
    yield Stroke((path,), OUTLINE)
    if laid.on_fold:
        sides = zip(ring, [*ring[1:], ring[0]], strict=True)
        low = _AT_FOLD / scale
        bars = [polyline([a, b]) for a, b in sides if max(abs(a.y), abs(b.y)) <= low and a != b]
        yield Stroke(tuple(bars), ON_FOLD)


def hatched(area: BaseGeometry) -> Iterator[Path]:
    """Slanted lines over an area (not an empty one); they run on from one piece to the next."""
    left, bottom, right, top = area.bounds
    step = HATCH_APART * math.sqrt(2)
    for number in range(math.ceil((bottom - right) / step), math.floor((top - left) / step) + 1):
        low = number * step
        line = shapely.LineString([(left, left + low), (right, right + low)])
        for part in shapely.get_parts(line.intersection(area)):
            if part.geom_type == "LineString" and part.length > 0:
                yield polyline([Point(*part.coords[0]), Point(*part.coords[-1])])


def _largest(shape: BaseGeometry) -> BaseGeometry:
    parts = [part for part in shapely.get_parts(shape) if part.geom_type == "Polygon"]
    return max(parts, key=lambda part: part.area, default=shapely.Polygon())
