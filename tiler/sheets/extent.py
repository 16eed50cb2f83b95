"""The room that words and lines take on a drawing."""

from __future__ import annotations

from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Use, Words
from tiler.sheets.lettering import height_of, width_of


def word_boxes(items: tuple[Item, ...], at: Affine) -> list[Bounds]:
    """An upright box round each line of words, those in groups too, after a map."""
    boxes = []
    for item in items:
        if isinstance(item, Group):
            boxes += word_boxes(item.items, item.at.then(at) if item.at else at)
        elif isinstance(item, Use):
            boxes += word_boxes(item.drawing.items, item.at.then(at))
        elif isinstance(item, Words):
            width, height = (
                width_of(item.text, item.size_pt, bold=item.bold),
                height_of(item.size_pt),
            )
            left = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
            turn = Affine.turn(item.turn).then(Affine.move(*item.at)).then(at)
            boxes.append(Bounds(left, -height * 0.3, left + width, height).moved(turn))
    return boxes


def line_boxes(items: tuple[Item, ...], at: Affine) -> list[Bounds]:
    """An upright box round each line or filled area, those in groups too, after a map."""
    boxes = []
    for item in items:
        if isinstance(item, Group):
            boxes += line_boxes(item.items, item.at.then(at) if item.at else at)
        elif isinstance(item, Stroke | Fill):
            boxes += [path.bounds.moved(at) for path in item.paths]
    return boxes
