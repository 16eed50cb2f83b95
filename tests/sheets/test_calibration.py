"""The calibration squares on the start page: 100 mm and 4 in, and what is written beside them."""

from __future__ import annotations

import pytest

from tests.demos import each_publication, publication_of
from tests.printed import groups_on, lines_on, words_on
from tiler.pattern.affine import Point
from tiler.pattern.bounds import bounds_of
from tiler.sheets.calibration import draw_squares
from tiler.sheets.drawing import Group, Page, Stroke


def squares_of(page: Page) -> list[Group]:
    return [g for g in groups_on(page, "Measure") if 0 not in dict(g.facts)["Measure"]]


@each_publication
def test_the_start_page_alone_has_a_square_of_100_mm_and_one_of_4_in(demo: str, paper: str) -> None:
    """Sides of 100 mm and 101.6 mm, drawn and declared alike (4 x 25.4 mm)."""
    start, *others = publication_of(demo, paper).pages
    sizes = []
    for group in squares_of(start):
        (stroke,) = group.items
        assert isinstance(stroke, Stroke)
        box = bounds_of([path.bounds for path in stroke.paths])
        assert (box.width, box.height) == pytest.approx(dict(group.facts)["Measure"], abs=1e-9)
        sizes.append((box.width, box.height))
    assert sorted(sizes) == [pytest.approx((100, 100)), pytest.approx((101.6, 101.6))]
    assert [squares_of(page) for page in others] == [[]] * len(others)


@each_publication
def test_the_lines_of_the_squares_are_thin_enough_to_measure(demo: str, paper: str) -> None:
    """A line of 0.2 mm or less has a middle that a rule can find."""
    start = publication_of(demo, paper).pages[0]
    for group in squares_of(start):
        for item in group.items:
            assert isinstance(item, Stroke)
            assert item.pen.width <= 0.2
            assert item.pen.dash == ()
            assert item.pen.grey == 0


def test_the_numbers_count_centimetres_and_inches() -> None:
    """1 to 9 twice for the centimetres, 1 to 3 twice for the inches, each size twice."""
    page = Page("start", 210, 297, tuple(draw_squares(Point(50, 50))))
    texts = [words.text for words in words_on(page)]
    assert texts.count("100 mm") == 2
    assert texts.count("4 in") == 2
    for cm in range(1, 10):
        assert texts.count(str(cm)) == (4 if cm <= 3 else 2)


def test_ticks_stand_at_centimetres_and_quarter_inches() -> None:
    """Along the lower side every 10 mm, along the upper side every 6.35 mm."""
    page = Page("start", 210, 297, tuple(draw_squares(Point(0, 0))))
    ticks = [line.path for line in lines_on(page) if line.path.length < 5]
    below = sorted(p.start.x for p in ticks if p.start.x == p.end.x and p.start.y == 0)
    above = sorted(p.start.x for p in ticks if p.start.x == p.end.x and p.start.y > 50)
    assert below == pytest.approx([10.0 * i for i in range(1, 10)])
    assert above == pytest.approx([6.35 * i for i in range(1, 16)])
