"""The check bars: two on every page, as long as they say, with a tick every ten millimetres."""

from __future__ import annotations

import re

import pytest

from tests.demos import each_publication, plan_of, publication_of
from tests.printed import groups_on, lines_on, words_on
from tiler.layout.papers import PAPERS, find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.bounds import bounds_of
from tiler.sheets.bars import bar_lengths, draw_bars
from tiler.sheets.drawing import Page, Stroke

SETUPS = [
    PageSetup(paper, landscape)
    for paper in PAPERS.values()
    if paper.width >= 148
    for landscape in (False, True)
]


def bars_of(page: Page) -> list[tuple[float, float]]:
    """Across and up, of what is drawn, for each group that says it is a bar."""
    sizes = []
    for group in groups_on(page, "Measure"):
        said = dict(group.facts)["Measure"]
        paths = [p for item in group.items if isinstance(item, Stroke) for p in item.paths]
        box = bounds_of([path.bounds for path in paths])
        assert (box.width, box.height) == pytest.approx(said, abs=1e-9)
        if 0 in said:
            sizes.append((box.width, box.height))
    return sizes


@each_publication
def test_every_page_has_a_bar_across_and_a_bar_up(demo: str, paper: str) -> None:
    """Each page, the first one too, can be checked by a rule in both directions."""
    across, up = bar_lengths(plan_of(demo, paper).grid.setup)
    for page in publication_of(demo, paper).pages:
        assert sorted(bars_of(page)) == [(0, up), (across, 0)]


@pytest.mark.parametrize("setup", SETUPS, ids=lambda s: s.words)
def test_bars_are_the_longest_whole_centimetres_that_fit(setup: PageSetup) -> None:
    """Less than a centimetre of the window is left over."""
    for length, room in zip(
        bar_lengths(setup), (setup.window.width, setup.window.height), strict=True
    ):
        assert length % 10 == 0
        assert 0 <= room - length < 10


@pytest.mark.parametrize("setup", SETUPS, ids=lambda s: s.words)
def test_bars_say_their_length_in_millimetres_and_inches(setup: PageSetup) -> None:
    """The words give the drawn length, and its inches to a thousandth (25.4 mm to the inch)."""
    page = Page("A1", setup.width, setup.height, (draw_bars(setup),))
    said = sorted(
        (float(match[1]), float(match[2]))
        for words in words_on(page)
        if (match := re.fullmatch(r"check bar ([\d.]+) mm = ([\d.]+) in", words.text))
    )
    assert [mm for mm, _ in said] == sorted(bar_lengths(setup))
    for mm, inch in said:
        assert inch == pytest.approx(mm / 25.4, abs=0.0005)


@pytest.mark.parametrize("setup", SETUPS, ids=lambda s: s.words)
def test_ticks_stand_at_every_tenth_millimetre(setup: PageSetup) -> None:
    """From one end to the other, the ends included; only words take the place of some."""
    page = Page("A1", setup.width, setup.height, (draw_bars(setup),))
    across, up = bar_lengths(setup)
    short = [line.path.bounds for line in lines_on(page) if line.path.length < 5]
    upright = sorted(box.left for box in short if box.width < 1e-6)
    level = sorted(box.bottom for box in short if box.height < 1e-6)
    ink = [words.ink.bounds for words in words_on(page)]
    for ticks, length, side in ((upright, across, 0), (level, up, 1)):
        wanted = [ticks[0] + 10.0 * i for i in range(int(length / 10) + 1)]
        assert ticks[-1] == pytest.approx(wanted[-1])
        for tick in ticks:
            assert min(abs(tick - place) for place in wanted) < 1e-6
        for place in wanted:
            if min(abs(tick - place) for tick in ticks) > 1e-6:
                assert any(box[side] - 1.5 < place < box[side + 2] + 1.5 for box in ink), place


@pytest.mark.parametrize("setup", SETUPS, ids=lambda s: s.words)
def test_bars_stay_in_the_strip_outside_the_window(setup: PageSetup) -> None:
    """No line of a bar reaches into the pattern window or into the margin."""
    page = Page("A1", setup.width, setup.height, (draw_bars(setup),))
    for line in lines_on(page):
        # A tenth of a millimetre is less than the line that it may touch.
        box = line.path.bounds.grown(line.pen.width / 2 - 0.1)
        assert not box.meets(setup.window)
        assert box.left >= setup.printable.left
        assert box.bottom >= setup.printable.bottom


@pytest.mark.parametrize("landscape", [False, True])
def test_numbers_stand_beside_the_tick_that_they_count(landscape: bool) -> None:
    """The number 100 begins within 1.5 mm after the tick at 100 mm."""
    setup = PageSetup(find_paper("a4"), landscape)
    page = Page("A1", setup.width, setup.height, (draw_bars(setup),))
    across, _ = bar_lengths(setup)
    zero = setup.window.left + (setup.window.width - across) / 2
    below = [w for w in words_on(page) if w.ink.bounds[3] < setup.window.bottom + 0.5]
    numbers = [w for w in below if w.text.isdigit()]
    assert len(numbers) >= 2
    for word in numbers:
        assert 0 < word.ink.bounds[0] - zero - float(word.text) < 1.5
