"""The calibration page: all that it promises is on it, apart from each other, inside the margin."""

from __future__ import annotations

import math
from functools import cache

import pytest
import shapely

from tests.printed import PrintedFill, everything_on, fills_on, groups_on, lines_on, words_on
from tests.sheets.test_nothing_overlaps import colliding_words, outside_words, struck_words
from tiler.layout.papers import PAPERS, find_paper
from tiler.layout.scale import Printer
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PaperError
from tiler.sheets.diagonals import diagonal_of, lean_of
from tiler.sheets.drawing import Group, Page, Publication
from tiler.sheets.lettering import unprintable
from tiler.sheets.publication import texts_of
from tiler.sheets.scalesheet import bar_lengths_on_sheet, draw_scale_sheet

LARGE_ENOUGH = sorted(
    name for name, paper in PAPERS.items() if paper.width >= 148 and paper.height >= 210
)
#: The longest name that a printer may have, and errors at the limit of what is made up for.
PRINTER = Printer("The laser printer in the potting shed 22", 1.015, 0.985, 0.001, 0.001, "a4")

each_paper = pytest.mark.parametrize("paper", LARGE_ENOUGH)
each_page = pytest.mark.parametrize("printer", [None, PRINTER], ids=["as it is", "made up"])


@cache
def sheet(paper: str, printer: Printer | None = None) -> Publication:
    return draw_scale_sheet(find_paper(paper), printer)


def as_printed(paper: str, printer: Printer | None = None) -> Page:
    """The page as its printer leaves it: the error about the middle is undone."""
    (page,) = sheet(paper, printer).pages
    (whole,) = page.items
    assert isinstance(whole, Group)
    return Page(page.name, page.width, page.height, whole.items)


# Sides less 20 mm in whole tens; the largest 3 : 4 : 5 triangle of whole tens that they hold.
LENGTHS = {
    "a5": (120, 190, 200),  # 128 x 190: 120, 160, 200
    "a4": (190, 270, 300),  # 190 x 277: 180, 240, 300
    "a3": (270, 400, 450),  # 277 x 400: 270, 360, 450
    "letter": (190, 250, 300),  # 195.9 x 259.4
    "legal": (190, 330, 300),  # 195.9 x 335.6
    "tabloid": (250, 410, 400),  # 259.4 x 411.8: 240, 320, 400
}


@pytest.mark.parametrize("paper", LENGTHS)
def test_bars_are_as_long_as_the_paper_allows_in_whole_tens(paper: str) -> None:
    """A margin of 10 mm is left at either end."""
    across, up, _ = LENGTHS[paper]
    assert bar_lengths_on_sheet(paper) == (across, up)


@pytest.mark.parametrize("paper", LENGTHS)
@each_page
def test_lengths_are_told_in_both_units(paper: str, printer: Printer | None) -> None:
    """An inch is 25.4 mm."""
    texts = [words.text for words in words_on(as_printed(paper, printer))]
    for length in LENGTHS[paper][:2]:
        assert f"{length} mm" in texts
        assert f"{length / 25.4:.3f} in" in texts
    said = " ".join(texts)
    assert f"both are {LENGTHS[paper][2]} mm = {LENGTHS[paper][2] / 25.4:.3f} in" in said


@each_paper
@each_page
def test_everything_can_be_read(paper: str, printer: Printer | None) -> None:
    """Words keep clear of words, lines, dark areas and the margin, and are of 7 pt at least."""
    page = as_printed(paper, printer)
    printable = shapely.box(10, 10, page.width - 10, page.height - 10)
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []
    assert outside_words(page, printable) == []
    assert [words for words in words_on(page) if words.size_pt < 7 - 1e-6] == []
    dark = shapely.union_all([fill.ink for fill in fills_on(page) if fill.grey < 0.92])
    assert [w.text for w in words_on(page) if w.ink.buffer(-0.1).intersects(dark)] == []
    assert unprintable(texts_of(sheet(paper, printer))) == ""


@each_paper
def test_only_the_combs_reach_into_the_margin(paper: str) -> None:
    """A printer that keeps 10 mm free loses nothing else; a line's own width aside."""
    page = as_printed(paper)
    frame = shapely.box(10, 10, page.width - 10, page.height - 10).buffer(0.13, join_style="mitre")
    lost = [t.ink for t in [*lines_on(page), *fills_on(page)] if not frame.covers(t.ink)]
    assert 4 * 2 * 10 <= len(lost) <= 4 * 2 * 11
    for ink in lost:
        left, bottom, right, top = ink.bounds
        # Feet are 2.4 mm wide; teeth end at 16.2 mm.
        assert min(right - left, top - bottom) <= 0.7
        assert min(left, bottom, page.width - right, page.height - top) < 10
        assert min(right, top, page.width - left, page.height - bottom) < 16.5


@each_paper
def test_each_side_has_a_foot_at_every_millimetre_to_15(paper: str) -> None:
    """Foot n begins n mm from the edge, and its number stands at the other end of its tooth."""
    page = as_printed(paper)
    feet = [
        fill.ink.bounds
        for fill in fills_on(page)
        if fill.grey == 0 and math.isclose(fill.ink.area, 2.4 * 0.6, rel_tol=1e-6)
    ]
    width, height = page.width, page.height
    steps = {
        "left": [box[0] for box in feet if box[2] < 17 and box[3] - box[1] > 2],
        "right": [width - box[2] for box in feet if box[0] > width - 17 and box[3] - box[1] > 2],
        "bottom": [box[1] for box in feet if box[3] < 17 and box[2] - box[0] > 2],
        "top": [height - box[3] for box in feet if box[1] > height - 17 and box[2] - box[0] > 2],
    }
    for found in steps.values():
        assert sorted(found) == pytest.approx(list(range(16)))
    for number in range(16):
        named = [w.ink.centroid for w in words_on(page) if w.text == str(number)]
        x = [box for box in feet if abs(box[1] - number) < 1e-6 and box[2] - box[0] > 2]
        (foot,) = [box for box in x if box[3] < 17]
        assert any(abs(p.x - (foot[0] + foot[2]) / 2) < 0.3 and p.y < 19 for p in named)


@each_paper
def test_a_clipped_comb_reads_the_margin(paper: str) -> None:
    """Of what a printer leaves that cannot print nearer than 4.4 mm, foot 5 is the first whole."""
    page = as_printed(paper)
    kept = shapely.box(4.4, 4.4, page.width - 4.4, page.height - 4.4)
    feet = [
        fill.ink
        for fill in fills_on(page)
        if fill.grey == 0 and math.isclose(fill.ink.area, 2.4 * 0.6, rel_tol=1e-6)
    ]
    whole = [foot for foot in feet if kept.covers(foot)]
    assert len(whole) == 4 * len(range(5, 16))


def test_samples_show_ten_widths_and_nine_tints() -> None:
    """0.1 to 1.0 mm, and 10 to 90 % of black, each with its number."""
    page = as_printed("a4")
    widths = {round(line.pen.width, 3) for line in lines_on(page) if line.pen.grey == 0}
    assert widths >= {number / 10 for number in range(1, 11)}
    tints = [fill for fill in fills_on(page) if 0 < fill.grey < 0.92]
    assert [t.grey for t in tints] == pytest.approx([1 - n / 10 for n in range(1, 10)])
    texts = [words.text for words in words_on(page)]
    assert {f"{n / 10:.1f}" for n in range(1, 11)} <= set(texts)
    assert {str(n) for n in range(10, 100, 10)} <= set(texts)
    assert isinstance(tints[0], PrintedFill)


@each_paper
def test_the_page_has_both_bars_both_squares_and_both_diagonals(paper: str) -> None:
    """Each is marked with its size, for the proof."""
    page = as_printed(paper)
    sizes = [dict(group.facts)["Measure"] for group in groups_on(page, "Measure")]
    across, up = bar_lengths_on_sheet(paper)
    assert sizes.count((across, 0.0)) == sizes.count((0.0, up)) == 2
    assert sizes.count((100.0, 100.0)) == sizes.count((101.6, 101.6)) == 1
    others = [size for size in sizes if 0 not in size and size[0] != size[1]]
    assert len(others) == 2
    # 3 : 4 : 5.
    assert others[0] == others[1]
    assert math.hypot(*others[0]) % 50 == 0


@pytest.mark.parametrize("lean", [0.05, 0.2, 0.5, 1.0])
def test_the_lean_follows_from_the_diagonals(lean: float) -> None:
    """A rectangle sheared by an angle has diagonals that differ as the page says (trigonometry)."""
    wide, high = 180.0, 240.0
    corners = Bounds(0, 0, wide, high)
    shift = high * math.sin(math.radians(lean))
    tall = high * math.cos(math.radians(lean))
    rising, falling = math.hypot(wide + shift, tall), math.hypot(wide - shift, tall)
    assert (rising - falling) * lean_of(corners) == pytest.approx(lean, rel=2e-3)
    assert diagonal_of(corners) == 300


def test_a_page_that_is_made_up_says_for_which_printer_and_by_how_much() -> None:
    """Nobody prints it on another one in good faith."""
    said = " ".join(words.text for words in words_on(as_printed("a4", PRINTER)))
    assert f"made up for the printer “{PRINTER.name}” alone" in said
    assert "1.50 % too large across" in said
    assert "1.50 % too small up" in said
    assert "should now measure 190 mm and 270 mm" in said
    assert "--across" not in said


@pytest.mark.parametrize("paper", ["a6", "b6"])
def test_paper_below_a5_is_refused(paper: str) -> None:
    """Its bars would be too short to tell much."""
    with pytest.raises(PaperError, match="too small"):
        draw_scale_sheet(find_paper(paper))
    with pytest.raises(PaperError, match="too small"):
        bar_lengths_on_sheet(paper)


def test_everything_is_furniture() -> None:
    """The page has no line of a pattern."""
    assert all(line.furniture for line in lines_on(sheet("a4").pages[0]))
    assert everything_on(sheet("a4").pages[0])
