"""The picture to look at: every piece in proportion, its edges lettered and measured."""

from __future__ import annotations

import re

import pytest
import shapely

from tests.demos import DEMOS, each_demo, pattern_of_demo
from tests.printed import lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.pattern.units import format_mm
from tiler.sheets.picture import draw_picture


@each_demo
def test_everything_lies_on_the_picture(demo: str) -> None:
    """No line and no word leaves the page."""
    page = draw_picture(pattern_of_demo(demo))
    frame = shapely.box(0, 0, page.width, page.height)
    assert [w.text for w in words_on(page) if not frame.covers(w.ink)] == []
    assert [line.path.bounds for line in lines_on(page) if not frame.covers(line.ink)] == []


@each_demo
def test_no_words_lie_over_other_words(demo: str) -> None:
    """Letters, lengths and captions can all be read."""
    words = words_on(draw_picture(pattern_of_demo(demo)))
    boxes = [w.ink.buffer(-0.05, join_style="mitre") for w in words]
    pairs = shapely.STRtree(boxes).query(boxes, predicate="intersects").T
    assert [(words[a].text, words[b].text) for a, b in pairs if a < b] == []


@each_demo
def test_every_edge_has_its_letter_and_its_length(demo: str) -> None:
    """The length is that of the true edge, not of the small drawing."""
    pattern = pattern_of_demo(demo)
    texts = [w.text for w in words_on(draw_picture(pattern))]
    for piece in pattern.pieces:
        for edge in piece.outlines[0].edges:
            assert format_mm(edge.path.length, 0) in texts
    letters = [e.letter for p in pattern.pieces for e in p.outlines[0].edges]
    for letter in set(letters):
        assert texts.count(letter) >= letters.count(letter)


@each_demo
def test_every_piece_is_named_with_its_size(demo: str) -> None:
    """Name, width and height in millimetres and inches stand under each piece."""
    pattern = pattern_of_demo(demo)
    joined = " ".join(w.text for w in words_on(draw_picture(pattern)))
    for piece in pattern.pieces:
        assert piece.name in joined
        box = piece.bounds
        assert f"{format_mm(box.width, 0)} × {format_mm(box.height, 0)}" in joined


@pytest.mark.parametrize("demo", DEMOS)
def test_pieces_are_drawn_in_proportion_to_each_other(demo: str) -> None:
    """One factor holds for all, and the picture says which."""
    pattern = pattern_of_demo(demo)
    page = draw_picture(pattern)
    (percent,) = {
        int(match[1])
        for w in words_on(page)
        if (match := re.search(r"drawn at (\d+) % of true size", w.text))
    }
    total = sum(o.path.length for piece in pattern.pieces for o in piece.outlines)
    # Outlines are the longest black lines: fold edges apart, each ring is drawn in one go.
    drawn = sum(
        line.path.length for line in lines_on(page) if line.pen.grey == 0 and line.pen.width >= 0.24
    )
    assert drawn >= total * percent / 100 * 0.8


def test_a_small_piece_is_not_blown_up() -> None:
    """A pocket of 50 mm is drawn at true size and not larger."""
    page = draw_picture(pattern_of(rectangular("Loop", 50, 40)))
    rings = [line.path.bounds for line in lines_on(page) if line.path.length > 100]
    assert any(box.width == pytest.approx(50) and box.height == pytest.approx(40) for box in rings)
    assert "100 % of true size" in " ".join(w.text for w in words_on(page))
