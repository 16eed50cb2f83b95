"""The first page: is the print true to size, and how do the pages go together."""

from __future__ import annotations

import pytest
import shapely

from tests.demos import each_publication, front_of, pattern_of_demo, plan_of
from tests.printed import PrintedWords, groups_on, lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import PAPERS
from tiler.layout.place import place
from tiler.layout.tiles import PageSetup
from tiler.sheets.assembly import PAGE_LINE
from tiler.sheets.drawing import Page
from tiler.sheets.publication import lay_out

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
    """Title, maker, version, digest, paper, and how large the sheet gets."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    text = text_of(front_of(demo, paper)[:1])
    for fact in (pattern.title, pattern.maker, pattern.digest, plan.grid.setup.words):
        assert fact in text
    sheet = plan.grid.bounds
    assert f"{sheet.width / 10:.0f} × {sheet.height / 10:.0f} cm" in text


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
    blank = plan.grid.rows * plan.grid.columns - len(plan.cells)
    assert ("Cells without a name" in " ".join(texts)) == (blank > 0)


@each_publication
def test_the_map_shows_the_pages_where_they_lie(demo: str, paper: str) -> None:
    """Names stand in rows and columns as the pages do on the table."""
    plan = plan_of(demo, paper)
    words = {w.text: w for page in front_of(demo, paper) for w in words_on(page) if w.bold}
    left: dict[int, list[PrintedWords]] = {}
    for cell in plan.cells:
        left.setdefault(cell.column, []).append(words[cell.name])
    for cell in plan.cells:
        for other in plan.cells:
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


@pytest.mark.parametrize("setup", SETUPS, ids=lambda s: s.words)
@pytest.mark.parametrize("demo", ["hat", "trousers"])
def test_front_pages_keep_inside_the_paper_on_every_size(demo: str, setup: PageSetup) -> None:
    """From A5 to A0, both ways round, squares, words and map stay in the printable area."""
    pattern = pattern_of_demo(demo)
    plan = place(pattern, [setup])
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
    publication = lay_out(pattern, place(pattern, [PageSetup(PAPERS["a4"])]))
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
        assert any(text.startswith(f"{piece.name}: ") for text in texts)
