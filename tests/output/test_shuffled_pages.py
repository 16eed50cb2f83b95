"""Somebody who has nothing but the printed pages, in any order, can put them together.

Pages are read by poppler (`tests/output/pagewords.py`); their names count as mere labels here:
which page lies where is told by the joints' words alone.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from functools import cache
from random import Random

import pytest

from tests.demos import pattern_of_demo, plan_of
from tests.output.pagewords import Edge, Saying, Sight, running_texts, sights
from tests.output.puzzle import laid, rebuilt, true_sheets
from tiler.layout.ink import chords_of
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.settle import settle
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way

#: Each pattern in each way, on both papers.
PRINTS = [
    ("smock", "a4", Way.OVERLAP),
    ("smock", "letter", Way.BUTT),
    ("smock", "a4", Way.SEE_THROUGH),
    ("trousers", "letter", Way.OVERLAP),
    ("trousers", "a4", Way.BUTT),
    ("trousers", "letter", Way.SEE_THROUGH),
    ("apron", "a4", Way.OVERLAP),
    ("apron", "letter", Way.BUTT),
    ("apron", "a4", Way.SEE_THROUGH),
    ("spread hat", "a4", Way.OVERLAP),
]
each_print = pytest.mark.parametrize(("demo", "paper", "way"), PRINTS)
BACK = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}


def plan_for(demo: str, paper: str) -> Plan:
    """A quick layout; or every piece turned, on a sheet of its own, for many sheets at once."""
    if not demo.startswith("spread "):
        return plan_of(demo, paper)
    pattern = pattern_of_demo(demo.removeprefix("spread "))
    at = [
        Affine.turn(31.0 * number).then(Affine.move(5000.0 * number, 0.0))
        for number in range(len(pattern.pieces))
    ]
    chords = [chords_of(piece) for piece in pattern.pieces]
    settled = settle(PageSetup(find_paper(paper)), chords, at)
    placements = tuple(map(Placement, pattern.pieces, settled.at))
    return Plan(settled.grid, placements, settled.cells)


@cache
def printed(demo: str, paper: str, way: Way) -> bytes:
    """The file."""
    pattern = pattern_of_demo(demo.removeprefix("spread "))
    return pdf_bytes(lay_out(pattern, plan_for(demo, paper), way=way))


@cache
def heap(demo: str, paper: str, way: Way) -> tuple[Sight, ...]:
    """What comes out of the printer, shuffled."""
    pages = sights(printed(demo, paper, way))
    Random(1).shuffle(pages)
    return tuple(pages)


@each_print
def test_every_page_tells_its_own_name_once(demo: str, paper: str, way: Way) -> None:
    told = [page.name for page in heap(demo, paper, way)]
    wanted = [cell.name for cell in plan_for(demo, paper).cells]
    assert Counter(filter(None, told)) == Counter(wanted)
    assert 1 <= told.count("") <= 2


@each_print
def test_each_joint_stands_on_two_pages_that_name_each_other(
    demo: str, paper: str, way: Way
) -> None:
    meeting: dict[int, list[tuple[str, Saying]]] = defaultdict(list)
    for name, sayings in laid(heap(demo, paper, way)).sayings.items():
        for saying in sayings:
            meeting[saying.number].append((name, saying))
    # Counted from 1 without a gap: a page that is missing from the heap is missed.
    assert sorted(meeting) == list(range(1, len(plan_for(demo, paper).joints) + 1))
    for number, both in meeting.items():
        assert len(both) == 2, f"joint {number} stands on {[name for name, _ in both]}"
        (first, here), (second, there) = both
        assert here.neighbour == second
        assert there.neighbour == first
        assert here.edge is BACK[there.edge]
        # The words say which one lies over: always the one on the right or below.
        for each in (here, there):
            over = each.edge in (Edge.LEFT, Edge.TOP)
            assert each.lies in ("either", "over" if over else "under")


@each_print
def test_joints_alone_put_the_sheets_together(demo: str, paper: str, way: Way) -> None:
    plan = plan_for(demo, paper)
    table = laid(heap(demo, paper, way))
    assert rebuilt(table.sheets) == true_sheets(plan)
    alone = {cells[0].name for cells in plan.sheets if len(cells) == 1}
    assert {name for name, sayings in table.sayings.items() if not sayings} == alone


def test_single_pages_and_several_sheets_are_among_the_prints() -> None:
    plans = [plan_for(demo, paper) for demo, paper, _ in PRINTS]
    sizes = [[len(cells) for cells in plan.sheets] for plan in plans]
    assert any(len([size for size in each if size > 1]) > 1 for each in sizes)
    assert any(1 in each for each in sizes)


@pytest.mark.parametrize("seed", range(5))
def test_any_order_gives_the_same_sheets(seed: int) -> None:
    demo, paper, way = "trousers", "a4", Way.BUTT
    pages = list(heap(demo, paper, way))
    Random(seed).shuffle(pages)
    assert rebuilt(laid(pages).sheets) == true_sheets(plan_for(demo, paper))


def test_a_page_that_is_missing_is_missed() -> None:
    pages = [page for page in heap("smock", "a4", Way.OVERLAP) if page.name != "C3"]
    sayings = {page.name: tuple(page.sayings()) for page in pages if page.name}
    named = {saying.neighbour for each in sayings.values() for saying in each}
    assert named - set(sayings) == {"C3"}


def test_two_patterns_in_one_heap_are_told_apart_by_their_digests() -> None:
    prints = [("smock", "a4", Way.OVERLAP), ("trousers", "a4", Way.BUTT)]
    both = [page for each in prints for page in heap(*each)]
    Random(7).shuffle(both)
    heaps: dict[str, list[Sight]] = defaultdict(list)
    for page in both:
        heaps[page.digest].append(page)
    assert set(heaps) == {pattern_of_demo(demo).digest for demo, _, _ in prints}
    for demo, paper, _ in prints:
        pages = heaps[pattern_of_demo(demo).digest]
        assert rebuilt(laid(pages).sheets) == true_sheets(plan_for(demo, paper))


@pytest.mark.parametrize(
    ("way", "told"),
    [
        (Way.OVERLAP, ["Trim each page only along", "Lay it over the grey band"]),
        (Way.BUTT, ["Trim each page along all", "Edges meet, they do not overlap."]),
        (Way.SEE_THROUGH, ["Trim nothing.", "crosses on crosses"]),
    ],
)
def test_the_first_page_tells_how(way: Way, told: list[str]) -> None:
    (start,) = (text for text in running_texts(printed("smock", "a4", way)) if "start page" in text)
    wanted = [
        "Tape the pages together",
        "the neighbour that the joint names",
        "then tape the whole joint",
        "Does a joint close right?",
        "until 0 meets 0",
        "0.1 mm each",
        "The map shows which pages belong together",
        *told,
    ]
    assert [words for words in wanted if words not in start] == []
