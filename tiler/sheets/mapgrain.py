"""The grain of a piece on a map of the pages: a short arrow in the middle of the grainline."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.layout.plan import Placement
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path, polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Item, Pen, Stroke

_GRAIN = Pen(0.3, grey=0.5)
#: An arrow on the map is at most this long, and not drawn when shorter than that, millimetres.
_LONGEST, _SHORTEST = 12.0, 4.0


def grain_of(placement: Placement, at: Affine) -> Iterator[tuple[Point, Point]]:
    """The middle of a piece's grainline on the map, if there is enough of it."""
    line = placement.piece.grain
    if line is None:
        return
    whole = placement.at.then(at)
    start, end = whole(line.start), whole(line.end)
    length = start.to(end)
    if length < _SHORTEST:
        return
    share = min(1.0, _LONGEST / length) / 2
    middle = Point((start.x + end.x) / 2, (start.y + end.y) / 2)
    across = Point((end.x - start.x) * share, (end.y - start.y) * share)
    yield (
        Point(middle.x - across.x, middle.y - across.y),
        Point(middle.x + across.x, middle.y + across.y),
    )


def arrow_of(start: Point, end: Point) -> Iterator[Item]:
    """An arrow with a head at either end."""
    shaft, *heads = arrow_paths(start, end)
    yield Stroke((shaft,), _GRAIN)
    yield Fill(tuple(heads), _GRAIN.grey)


def arrow_paths(start: Point, end: Point) -> list[Path]:
    """Its shaft, and its two heads."""
    length = start.to(end)
    along = ((end.x - start.x) / length, (end.y - start.y) / length)
    heads = (
        arrowhead(end, along, 1.8).paths[0],
        arrowhead(start, (-along[0], -along[1]), 1.8).paths[0],
    )
    return [polyline([start, end]), *heads]
