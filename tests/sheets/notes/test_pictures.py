"""The drawing of all pieces, and the small picture of each sign."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from tests.demos import DEMOS, pattern_of_demo
from tiler.pattern.affine import STILL
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Drawing, Fill, Stroke, Words, walk
from tiler.sheets.extent import line_boxes, word_boxes
from tiler.sheets.notes.portrait import TALLEST, WIDE, draw_portrait
from tiler.sheets.notes.signs import page_signs, signs_of
from tiler.sheets.ways import Way


def bodies(drawing: Drawing) -> list[shapely.Polygon]:
    """What is tinted: the insides of the outlines."""
    return [
        shapely.make_valid(shapely.Polygon(path.flattened(0.05)))
        for item in walk(drawing.items)
        if isinstance(item, Fill) and item.grey > 0.9
        for path in item.paths
    ]


@pytest.mark.parametrize("demo", DEMOS)
def test_every_piece_is_drawn_with_its_name_and_none_covers_another(demo: str) -> None:
    pattern = pattern_of_demo(demo)
    drawing = draw_portrait(pattern)
    assert drawing.bounds.width <= WIDE + 2.01
    assert drawing.bounds.height <= TALLEST + 2.01
    said = " ".join(item.text for item in walk(drawing.items) if isinstance(item, Words))
    assert all(piece.name in said for piece in pattern.pieces)
    frame = shapely.box(*drawing.bounds)
    outlines = [ring for piece in pattern.pieces for ring in piece.outlines]
    shapes = bodies(drawing)
    assert len(shapes) == len(outlines)
    assert all(frame.covers(shape) for shape in shapes)
    # One scale for all of them: areas go with its square.
    factors = [s.area / o.area for s, o in zip(shapes, _in_order(drawing, pattern), strict=True)]
    assert max(factors) / min(factors) < 1.01
    words = [shapely.box(*box) for box in word_boxes(drawing.items, STILL)]
    for word in words:
        assert frame.covers(word)
        assert not any(word.intersection(shape).area > 0.01 for shape in shapes)


def _in_order(drawing: Drawing, pattern: Pattern) -> list[shapely.Polygon]:
    """The outlines in the order in which they are drawn: by area is enough to tell them."""
    polygons = [
        shapely.make_valid(shapely.Polygon(ring.path.flattened(0.05)))
        for piece in pattern.pieces
        for ring in piece.outlines
    ]
    ranks = sorted(polygons, key=lambda each: each.area)
    drawn = bodies(drawing)
    order = sorted(range(len(drawn)), key=lambda n: drawn[n].area)
    found: list[shapely.Polygon] = [None] * len(drawn)
    for rank, number in enumerate(order):
        found[number] = ranks[rank]
    return found


def test_a_very_long_name_does_not_push_the_pieces_away() -> None:
    pattern = pattern_of_demo("hat")
    first = replace(pattern.pieces[0], name="x" * 500)
    drawing = draw_portrait(replace(pattern, pieces=(first, *pattern.pieces[1:])))
    assert drawing.bounds.height <= TALLEST + 2.01
    assert min(shape.area for shape in bodies(drawing)) > 100


@pytest.mark.parametrize("demo", DEMOS)
def test_every_sign_stays_in_its_picture(demo: str) -> None:
    pattern = pattern_of_demo(demo)
    signs = (
        *signs_of(pattern),
        *page_signs(pattern, joined=True, whole=False, way=Way.OVERLAP),
    )
    for sign in signs:
        assert sign.picture is not None
        frame = sign.picture.bounds.grown(0.01)
        assert any(isinstance(item, Stroke | Fill) for item in walk(sign.picture.items))
        for box in line_boxes(sign.picture.items, STILL):
            assert frame.holds(box), sign
