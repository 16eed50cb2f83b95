"""On every page of every demo, each word can be read: it keeps clear of words, lines and edges."""

from __future__ import annotations

from collections.abc import Callable

import pytest
import shapely

from tests.demos import PAPERS, each_publication, pattern_of_demo, plan_of, publication_of
from tests.laying import laid
from tests.printed import (
    PrintedFill,
    PrintedLine,
    PrintedWords,
    everything_on,
    fills_on,
    lines_on,
    words_on,
)
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Page, Pen, Publication, Stroke, Words
from tiler.sheets.publication import lay_out

#: What may touch on paper without anyone seeing it, millimetres.
SLACK = 0.1


def colliding_words(page: Page) -> list[str]:
    """Pairs of words whose ink meets."""
    words = words_on(page)
    boxes = [word.seen.buffer(-SLACK / 2, join_style="mitre") for word in words]
    tree = shapely.STRtree(boxes)
    pairs = tree.query(boxes, predicate="intersects").T
    return [
        f"page {page.name}: {words[a].text!r} over {words[b].text!r}" for a, b in pairs if a < b
    ]


def struck_words(page: Page, which: Callable[[PrintedLine], bool]) -> list[str]:
    """Words that a line runs through; what a later filled area covers is not seen."""
    things = everything_on(page)
    words = [t for t in things if isinstance(t, PrintedWords) and not t.seen.is_empty]
    boxes = [word.seen.buffer(-SLACK, join_style="mitre") for word in words]
    numbered = [(n, t) for n, t in enumerate(things) if isinstance(t, PrintedLine) and which(t)]
    tree = shapely.STRtree([line.ink for _, line in numbered])
    struck = set()
    for word, line in tree.query(boxes, predicate="intersects").T:
        number, over = numbered[line]
        covers = [t.ink for t in things[number:] if isinstance(t, PrintedFill)]
        if (over.ink & boxes[word]).difference(shapely.union_all(covers)).area > 1e-6:
            struck.add(f"page {page.name}: {words[word].text!r} under a line {over.pen}")
    return sorted(struck)


def outside_words(page: Page, printable: shapely.Polygon) -> list[str]:
    """Words that reach into the margin."""
    frame = printable.buffer(SLACK, join_style="mitre")
    return [
        f"page {page.name}: {word.text!r}" for word in words_on(page) if not frame.covers(word.seen)
    ]


def all_faults(publication: Publication, setup: PageSetup) -> list[str]:
    """Everything that is wrong with the words of a publication."""
    printable = shapely.box(*setup.printable)
    faults = []
    for page in publication.pages:
        faults += colliding_words(page)
        faults += struck_words(page, lambda _: True)
        faults += outside_words(page, printable)
    return faults


@each_publication
def test_no_words_lie_over_other_words(demo: str, paper: str) -> None:
    """The ink of two lines of text never meets."""
    faults = [f for page in publication_of(demo, paper).pages for f in colliding_words(page)]
    assert faults == []


@each_publication
def test_no_pattern_line_runs_through_words(demo: str, paper: str) -> None:
    """A line of the pattern never crosses a word, neither its own piece's nor the page's."""
    faults = []
    for page in publication_of(demo, paper).pages:
        faults += struck_words(page, lambda line: line.pattern)
    assert faults == []


@each_publication
def test_no_mark_of_the_page_runs_through_words(demo: str, paper: str) -> None:
    """Crosses, trim lines, check bars, map and key leave all words free."""
    faults = []
    for page in publication_of(demo, paper).pages:
        faults += struck_words(page, lambda line: not line.pattern)
    assert faults == []


@each_publication
def test_no_dark_area_lies_under_words(demo: str, paper: str) -> None:
    """Words stand on white or on the light tints only."""
    faults = []
    for page in publication_of(demo, paper).pages:
        dark = [fill.ink for fill in fills_on(page) if fill.grey < 0.9]
        if dark:
            area = shapely.union_all(dark)
            faults += [
                f"page {page.name}: {word.text!r}"
                for word in words_on(page)
                if word.seen.buffer(-SLACK, join_style="mitre").intersects(area)
            ]
    assert faults == []


@each_publication
def test_all_words_stay_inside_the_printable_area(demo: str, paper: str) -> None:
    """A printer that keeps its margin free loses no word."""
    printable = shapely.box(*plan_of(demo, paper).grid.setup.printable)
    faults = [
        f for page in publication_of(demo, paper).pages for f in outside_words(page, printable)
    ]
    assert faults == []


@each_publication
def test_all_lines_stay_inside_the_printable_area(demo: str, paper: str) -> None:
    """Nor does it lose a line, its width included."""
    printable = shapely.box(*plan_of(demo, paper).grid.setup.printable)
    frame = printable.buffer(SLACK, join_style="mitre")
    faults = [
        f"page {page.name}: {line.pen}"
        for page in publication_of(demo, paper).pages
        for line in lines_on(page)
        if not (line.ink.is_empty or frame.covers(line.ink))
    ]
    assert faults == []


@each_publication
def test_nothing_is_set_smaller_than_seven_points(demo: str, paper: str) -> None:
    """Seven points at least, after every transform a word goes through."""
    small = [
        f"page {page.name}: {word.text!r} at {word.size_pt:.2f} pt"
        for page in publication_of(demo, paper).pages
        for word in words_on(page)
        if word.size_pt < 7 - 1e-6
    ]
    assert small == []


OTHERS = ("a5", "a3", "legal", "tabloid", *PAPERS)
MARGINS = ((10, 10), (4, 8), (15, 20))


@pytest.mark.parametrize(
    ("paper", "margin", "overlap", "landscape"),
    [
        # Each paper lies and stands, and so do each margin's; not every paper with every margin.
        (paper, *widths, (number + other) % 2 == 1)
        for number, paper in enumerate(OTHERS)
        for other, widths in enumerate(MARGINS)
        if (paper, widths) != ("a5", (15, 20))
    ],
)
def test_the_hat_can_be_read_on_other_papers_too(
    paper: str, margin: float, overlap: float, landscape: bool
) -> None:
    """Every paper, turned either way, with wide and narrow margins, keeps its words apart."""
    setup = PageSetup(find_paper(paper), landscape, margin, overlap)
    pattern = pattern_of_demo("hat")
    assert all_faults(lay_out(pattern, laid(pattern, [setup])), setup) == []


def test_the_check_sees_words_that_overlap() -> None:
    """A word shifted on to its neighbour is found, so the tests above are not blind."""
    first = Words("Armhole facing", Point(20, 20), 9)
    second = Words("Waist tie", Point(35, 21), 9)
    strike = Stroke((polyline([Point(10, 21), Point(60, 21)]),), Pen(0.2))
    page = Page("A1", 100, 100, (first, second, strike))
    assert len(colliding_words(page)) == 1
    assert len(struck_words(page, lambda _: True)) == 2
    assert isinstance(words_on(page)[0], PrintedWords)
    assert len(outside_words(page, shapely.box(0, 0, 30, 100))) == 2
    assert outside_words(page, shapely.box(0, 0, 100, 100)) == []
