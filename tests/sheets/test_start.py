"""The first page: is the print true to size, and how do the pages go together."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from tests.demos import each_publication, front_of, pattern_of_demo, plan_of, publication_of
from tests.laying import laid
from tests.printed import groups_on, lines_on, words_on
from tests.sheets.map_plans import sheets_plan
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import PAPERS
from tiler.layout.plan import Plan, Tally
from tiler.layout.tiles import PageSetup
from tiler.pattern.bounds import bounds_of
from tiler.pattern.model import Pattern
from tiler.sheets.assembly import PAGE_LINE
from tiler.sheets.drawing import Page
from tiler.sheets.listing import entries_of, names_in_runs
from tiler.sheets.maplabels import Numbers
from tiler.sheets.publication import lay_out
from tiler.sheets.start import draw_front
from tiler.sheets.ways import Way

SETUPS = [
    PageSetup(paper, landscape)
    for name, paper in PAPERS.items()
    if name in {"a0", "a3", "a4", "a5", "b5", "letter", "legal"}
    for landscape in (False, True)
]


def text_of(pages: list[Page]) -> str:
    return " ".join(words.text for page in pages for words in words_on(page))


@each_publication
def test_the_start_page_tells_what_is_printed(demo: str, paper: str) -> None:
    """Title, maker, version, digest, paper, how large the largest sheet gets, and what it saves."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    text = text_of(front_of(demo, paper)[:1])
    for fact in (pattern.title, pattern.maker, pattern.digest, plan.grid.setup.words):
        assert fact in text
    sheets = [bounds_of([plan.grid.window(cell) for cell in cells]) for cells in plan.sheets]
    largest = max(sheets, key=lambda sheet: sheet.width * sheet.height)
    assert f"{largest.width / 10:.0f} × {largest.height / 10:.0f} cm" in text
    assert f"{len(plan.cells)} pages of pattern" in text
    assert plan.tally is not None
    pages = "1 page" if plan.tally.bound == 1 else f"{plan.tally.bound} pages"
    assert f"own area fills {pages}; laid as drawn they would take {plan.tally.naive}" in text


@each_publication
def test_the_start_page_warns_and_says_how_to_measure(demo: str, paper: str) -> None:
    """It says to print at 100 %, what to measure with, and that blades hurt."""
    text = text_of(front_of(demo, paper))
    for part in ("100 %", "steel rule", "Blades", "children"):
        assert part in text


@each_publication
def test_the_map_names_every_page_once(demo: str, paper: str) -> None:
    """Bold and small, each printed page has its name in its cell of the map."""
    plan = plan_of(demo, paper)
    found = [words for page in front_of(demo, paper) for words in words_on(page)]
    texts = [words.text for words in found]
    names = [words.text for words in found if words.bold]
    for cell in plan.cells:
        assert names.count(cell.name) == 1
    blank = 0
    for cells in plan.sheets:
        rows, columns = {cell.row for cell in cells}, {cell.column for cell in cells}
        blank += len(rows) * len(columns) - len(cells)
    assert ("Dotted places" in " ".join(texts)) == (blank > 0)


@each_publication
def test_the_map_shows_the_pages_where_they_lie(demo: str, paper: str) -> None:
    """Names stand in rows and columns as the pages do on the table."""
    plan = plan_of(demo, paper)
    words = {w.text: w for page in front_of(demo, paper) for w in words_on(page) if w.bold}
    for cells in plan.sheets:
        for cell in cells:
            for other in cells:
                here, there = words[cell.name].ink.centroid, words[other.name].ink.centroid
                if other.column > cell.column + 1:
                    assert there.x > here.x
                if other.row > cell.row + 1:
                    assert there.y < here.y


@each_publication
def test_every_piece_is_named_on_the_front_pages(demo: str, paper: str) -> None:
    """Each piece can be found in the map or in the list beside it."""
    text = text_of(front_of(demo, paper))
    for piece in pattern_of_demo(demo).pieces:
        assert piece.name in text


@pytest.mark.parametrize(
    ("demo", "setup"),
    # Each paper has both, one lying and one standing, and so has each of the two both ways.
    [
        (("hat", "trousers")[(number // 2 + number) % 2], setup)
        for number, setup in enumerate(SETUPS)
    ],
    ids=lambda value: value if isinstance(value, str) else value.words,
)
def test_front_pages_keep_inside_the_paper_on_every_size(demo: str, setup: PageSetup) -> None:
    """From A5 to A0, both ways round, squares, words and map stay in the printable area."""
    pattern = pattern_of_demo(demo)
    plan = laid(pattern, [setup])
    names = {cell.name for cell in plan.cells}
    frame = shapely.box(*setup.printable).buffer(0.1, join_style="mitre")
    pages = [page for page in lay_out(pattern, plan).pages if page.name not in names]
    assert len([g for page in pages for g in groups_on(page, "Measure")]) == 2 + 2 * len(pages)
    astray = [
        f"page {page.name}: {thing}"
        for page in pages
        for thing in (*words_on(page), *lines_on(page))
        if not frame.covers(thing.ink)
    ]
    assert astray == []


def test_a_pattern_on_one_page_has_nothing_to_tape() -> None:
    """The how-to speaks of taping only where there are joints."""
    pattern = pattern_of(rectangular("Pocket", 120, 150))
    publication = lay_out(pattern, laid(pattern, [PageSetup(PAPERS["a4"])]))
    text = text_of(list(publication.pages[:1]))
    assert "Nothing to tape" in text
    assert "tape each row" not in text.lower()


@each_publication
def test_the_numbers_on_the_map_are_explained_on_the_same_page(demo: str, paper: str) -> None:
    """Who looks at a number on the map finds its piece and its pages without turning over."""
    with_map = [
        page
        for page in front_of(demo, paper)
        if any(line.pen == PAGE_LINE for line in lines_on(page))
    ]
    assert len(with_map) == 1
    texts = [words.text for words in words_on(with_map[0])]
    for piece in pattern_of_demo(demo).pieces:
        assert piece.name in texts


def front(pattern: Pattern, plan: Plan, way: Way = Way.OVERLAP) -> list[Page]:
    """The pages before the pattern, when no label has room for its notes."""
    setup = plan.grid.setup
    notes = {piece.name: piece.notes for piece in pattern.pieces}
    return [
        Page(name, setup.width, setup.height, tuple(items))
        for name, items in draw_front(pattern, plan, notes, way)
    ]


@each_publication
def test_two_pages_tell_it_all_on_ordinary_paper(demo: str, paper: str) -> None:
    """Whichever way the pages are joined, start and map are enough; so no page is wasted."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    for way in Way:
        pages = front(pattern, plan, way)
        assert [page.name for page in pages] == ["start", "map"]
        faults = [fault for page in pages for fault in colliding_words(page)]
        faults += [fault for page in pages for fault in struck_words(page, lambda _: True)]
        assert faults == []


@each_publication
def test_the_list_tells_the_place_of_each_page_in_the_file(demo: str, paper: str) -> None:
    """The page with that number, counted from 1 as a print dialogue does, has that name."""
    pages = publication_of(demo, paper).pages
    plan = plan_of(demo, paper)
    before = len(pages) - len(plan.cells)
    for entry in entries_of(plan, {}, before, Numbers.of(plan)):
        names, numbers = entry.texts[0].split(" · in the file: ")
        found = [pages[number - 1].name for number in spelled(numbers)]
        assert names_in_runs([cell for cell in plan.cells if cell.name in found]) == names.split()
        assert entry.texts[0] in text_of(front_of(demo, paper))


def spelled(words: str) -> list[int]:
    """The numbers in ``pages 3, 5–7``."""
    found: list[int] = []
    for part in words.removeprefix("pages").removeprefix("page").split(","):
        first, *rest = (int(number) for number in part.split("–"))
        found += range(first, (rest or [first])[0] + 1)
    return found


@pytest.mark.parametrize("way", Way)
def test_the_words_about_taping_follow_the_way(way: Way) -> None:
    """Who trims nothing reads nothing of trimming lines; who has no band reads of none."""
    pattern, plan = sheets_plan([(2, 2)])
    text = text_of(front(pattern, plan, way))
    assert ("fine dashed line" in text) == way.trims_over
    assert ("grey band" in text) == way.has_band
    assert ("window pane" in text) == (way is Way.SEE_THROUGH)
    assert "0 meets 0" in text


def test_pages_that_all_stand_alone_are_told_so_on_one_page() -> None:
    """Nothing to tape: no steps, no reading of joints, no word on trimming."""
    pattern, plan = sheets_plan([(1, 1)] * 4)
    pages = front(pattern, plan)
    assert [page.name for page in pages] == ["start"]
    text = text_of(pages)
    assert "4 pages of pattern, A4 portrait, each standing alone: nothing to tape" in text
    for word in ("Trim", "0 meets 0", "Arrow"):
        assert word not in text


def test_a_small_pattern_on_small_paper_has_the_key_beside_the_map() -> None:
    """With nothing to tape, two pages of A5 are enough."""
    pattern, plan = sheets_plan([(1, 1)] * 2, PageSetup(PAPERS["a5"]))
    assert [page.name for page in front(pattern, plan)] == ["start", "map"]


def test_sheets_and_single_pages_are_counted_apart() -> None:
    """Two sheets to tape and three single pages: 4 + 6 + 3 pages."""
    pattern, plan = sheets_plan([(2, 2), (2, 3), (1, 1), (1, 1), (1, 1)])
    text = text_of(front(pattern, plan))
    assert "13 pages of pattern, A4 portrait, in 2 sheets to tape" in text
    assert "and 3 single pages" in text
    # A4, margin 10, strip 3.4: windows of 183.2 x 270.2, 180 and 267 apart.
    assert "the largest 54 × 54 cm (21 × 21 in)" in text


def test_a_part_of_the_pattern_is_told_to_be_one() -> None:
    """The pieces that are printed are named; what all of them would take is left out."""
    pattern, whole = sheets_plan([(2, 2), (1, 3)])
    cells = tuple(cell for cell in whole.cells if cell.row == 2)
    part = replace(whole, placements=whole.placements[1:], cells=cells, tally=Tally(3, 9))
    pages = draw_front(pattern, part, {}, whole=whole)
    text = text_of([Page(name, 210, 297, tuple(items)) for name, items in pages])
    assert "Only these pieces: Part 2" in text
    assert "own area" not in text


@pytest.mark.parametrize("count", [40, 150])
def test_a_long_list_goes_on_to_pages_of_its_own(count: int) -> None:
    """Every piece once, with the right place in the file although the list itself takes pages."""
    pattern, plan = sheets_plan([(1, 1)] * count, PageSetup(PAPERS["a5"]))
    pages = front(pattern, plan)
    assert [page.name for page in pages[:4]] == ["start", "key", "map", "list"]
    texts = [words.text for page in pages[3:] for words in words_on(page)]
    for number, cell in enumerate(plan.cells, start=len(pages) + 1):
        assert f"{cell.name} · in the file: page {number}" in texts


@pytest.mark.parametrize("landscape", [False, True])
@pytest.mark.parametrize("margin", [4.0, 10.0, 12.0])
def test_a_long_title_leaves_the_words_of_small_paper_apart(landscape: bool, margin: float) -> None:
    """A5 with any margin it may have: the first page stays inside its frame, whatever is told."""
    setup = PageSetup(PAPERS["a5"], landscape, margin)
    pattern, plan = sheets_plan([(4, 5), (3, 3), (1, 1)], setup)
    named = replace(pattern, title="The allotment society's winter coat " * 4, maker="Maker " * 30)
    frame = shapely.box(*setup.window).buffer(0.1, join_style="mitre")
    for page in front(named, plan):
        assert colliding_words(page) == []
        assert all(frame.covers(words.ink) for words in words_on(page))
