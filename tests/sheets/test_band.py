"""The head of a roll and of a large sheet: readable, true, apart from the pieces."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pypdfium2
import pytest
import shapely

from tests.demos import DEMOS, pattern_of_demo
from tests.large import laid_on, written_on
from tests.printed import everything_on, fills_on, groups_on, lines_on, words_on
from tests.sheets.test_nothing_overlaps import colliding_words, outside_words, struck_words
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.strip.pages import LEAST_BAR
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.sheets.band import band_height
from tiler.sheets.bars import bar_lengths
from tiler.sheets.drawing import Publication
from tiler.sheets.publication import lay_out

each = pytest.mark.parametrize(
    ("demo", "word"),
    [
        *((demo, "roll:914mm") for demo in DEMOS),
        ("smock", "a0"),
        ("hat", "b1"),
        ("hat", "roll:24in"),
    ],
)


@cache
def laid(demo: str, word: str) -> Plan:
    return laid_on(pattern_of_demo(demo), word)


@cache
def published(demo: str, word: str) -> Publication:
    return lay_out(pattern_of_demo(demo), laid(demo, word))


def head_of(plan: Plan) -> Bounds:
    """The head, page coordinates."""
    assert plan.head is not None
    x, y = plan.grid.origin(plan.cells[0])
    return plan.head.moved(Affine.move(-x, -y))


@each
def test_every_word_can_be_read(demo: str, word: str) -> None:
    """No word lies over another one, under a line, or in the margin; none is under 7 pt."""
    setup = laid(demo, word).grid.setup
    for page in published(demo, word).pages:
        assert not colliding_words(page)
        assert not struck_words(page, lambda _: True)
        assert not outside_words(page, shapely.box(*setup.printable))
        assert min(words.size_pt for words in words_on(page)) >= 7.0


@each
def test_there_is_no_page_but_those_with_pieces(demo: str, word: str) -> None:
    """No start page, no map: what they say stands at the head of the first sheet."""
    publication, plan = published(demo, word), laid(demo, word)
    assert [page.name for page in publication.pages] == [cell.name for cell in plan.cells]
    head = shapely.box(*head_of(plan))
    said = " ".join(w.text for w in words_on(publication.pages[0]) if head.covers(w.ink))
    for part in ("100 mm", "Print at 100 %", "Lines", "What to cut", "hurt", "rule"):
        assert part in said, part
    for piece in pattern_of_demo(demo).pieces:
        assert piece.name in said


@each
def test_the_head_and_the_pieces_keep_apart(demo: str, word: str) -> None:
    """All lines and words of pieces lie below the head, and all of the head's in it."""
    plan = laid(demo, word)
    first, head = published(demo, word).pages[0], head_of(plan)
    for line in lines_on(first):
        if line.pattern:
            assert line.path.bounds.top <= head.bottom + 0.01
    for words in words_on(first):
        if words.layer:
            assert words.ink.bounds[3] <= head.bottom
    window = shapely.box(*plan.grid.setup.window.grown(0.3))
    inside = [thing.ink for thing in everything_on(first) if thing.ink.intersects(window)]
    strange = [
        ink
        for ink in inside
        if ink.intersects(shapely.box(*head.grown(-0.5))) and ink.bounds[1] < head.bottom - 0.01
    ]
    # Only the check bars run past the lower edge of the head.
    assert all(ink.bounds[0] < plan.grid.setup.window.left for ink in strange)


@each
def test_each_page_has_a_check_bar_of_half_a_metre(demo: str, word: str) -> None:
    """A steel rule of 500 mm is laid on it whole; it is long enough at least one way."""
    setup = laid(demo, word).grid.setup
    assert max(bar_lengths(setup)) >= LEAST_BAR == 500


def test_the_squares_are_drawn_once_on_the_first_sheet() -> None:
    """100 mm and 4 in (101.6 mm by the definition of the inch)."""
    pages = published("smock", "a0").pages
    squares = [
        [fact for fact in group.facts if fact[1] in ((100.0, 100.0), (101.6, 101.6))]
        for page in pages
        for group in groups_on(page, "Measure")
    ]
    assert len([found for found in squares if found]) == 2


def test_several_sheets_are_counted_and_the_list_says_where_each_piece_is() -> None:
    plan, publication = laid("smock", "a0"), published("smock", "a0")
    assert len(plan.cells) == 2
    for number, page in enumerate(publication.pages, start=1):
        text = " ".join(words.text for words in words_on(page))
        assert f"sheet {number} of 2" in text
    first = [words.text for words in words_on(publication.pages[0])]
    assert {"sheet 1", "sheet 2"} <= set(first)


def test_the_code_in_the_square_can_be_read_from_the_printed_sheet() -> None:
    """Read by zxing from pixels at 200 dpi: title, and how to cut each piece."""
    import zxingcpp

    pattern = pattern_of_demo("hat")
    document = pypdfium2.PdfDocument(written_on(pattern, laid("hat", "roll:914mm")))
    try:
        page = document[0]
        width, height = page.get_size()
        rim = 170 / 25.4 * 72
        picture = page.render(
            scale=200 / 72, crop=(0, height - rim, width - rim, 0), grayscale=True
        ).to_pil()
    finally:
        document.close()
    (found,) = zxingcpp.read_barcodes(np.asarray(picture))
    assert pattern.title in found.text
    assert "Brim: cut 4 on the fold" in found.text


@pytest.mark.parametrize("width", [300.0, 420.0, 914.0, 1600.0, 4900.0])
def test_the_head_is_low_and_its_room_is_known_before_the_length_is(width: float) -> None:
    """It takes no more than 150 mm on the rolls of plotters (24 in and wider)."""
    roll = replace(find_paper("a0"), name="roll", width=width, height=2000.0, roll=True)
    height = band_height(pattern_of_demo("hat"), PageSetup(roll))
    assert height >= 108
    if width >= 600:
        assert height <= 150


def test_a_pattern_with_little_to_say_still_keeps_its_words_apart() -> None:
    """On the narrowest roll, which has a bar of 500 mm along its length."""
    pattern: Pattern = pattern_of(rectangular("Loop", 150, 200), rectangular("Tab", 90, 150))
    plan = laid_on(pattern, "roll:300mm")
    (page,) = lay_out(pattern, plan).pages
    assert not colliding_words(page)
    assert not struck_words(page, lambda _: True)
    assert not outside_words(page, shapely.box(*plan.grid.setup.printable))
    assert bar_lengths(plan.grid.setup)[1] >= LEAST_BAR
    assert fills_on(page)
