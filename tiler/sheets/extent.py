"""The room that words and lines take on a drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import shapely

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Use, Words
from tiler.sheets.lettering import height_of, width_of

#: What letters such as g reach below the baseline, as a share of the height of capitals.
_BELOW = 0.3


def word_corners(
    items: tuple[Item, ...], at: Affine, air: float = 0.0
) -> Iterator[tuple[Point, ...]]:
    """The corners of the box of each line of words, turned as the words are, after a map.

    Args:
        items: Those in groups and used drawings count too.
        at: From the drawing to where the corners are wanted.
        air: Added round the words, in the drawing's own measure.
    """
    for item in items:
        if isinstance(item, Group):
            yield from word_corners(item.items, item.at.then(at) if item.at else at, air)
        elif isinstance(item, Use):
            yield from word_corners(item.drawing.items, item.at.then(at), air)
        elif isinstance(item, Words):
            width = width_of(item.text, item.size_pt, bold=item.bold)
            height = height_of(item.size_pt)
            left = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
            turn = Affine.turn(item.turn).then(Affine.move(*item.at)).then(at)
            box = Bounds(left, -height * _BELOW, left + width, height).grown(air)
            yield tuple(turn(corner) for corner in box.corners())


def word_boxes(items: tuple[Item, ...], at: Affine) -> list[Bounds]:
    """The upright box round each line of words, those in groups too, after a map."""
    return [bounds_of_points(corners) for corners in word_corners(items, at)]


def word_shapes(items: tuple[Item, ...], at: Affine, air: float = 0.0) -> Sequence[shapely.Polygon]:
    """The box of each line of words as an area, turned as the words are; as `word_corners`."""
    return [shapely.Polygon(corners) for corners in word_corners(items, at, air)]


def line_boxes(items: tuple[Item, ...], at: Affine) -> list[Bounds]:
    """An upright box round each line or filled area, those in groups too, after a map."""
    boxes = []
    for item in items:
        if isinstance(item, Group):
            boxes += line_boxes(item.items, item.at.then(at) if item.at else at)
        elif isinstance(item, Stroke | Fill):
            boxes += [path.bounds.moved(at) for path in item.paths]
    return boxes
