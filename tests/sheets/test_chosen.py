"""Some pieces alone: their pages, as they are in the whole."""

from __future__ import annotations

import dataclasses
import json

import pytest
import shapely

from tests.demos import pattern_of_demo, plan_of
from tests.printed import PrintedWords, everything_on, groups_on, lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError
from tiler.sheets.chosen import chosen_plan
from tiler.sheets.drawing import Publication
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way

CHOICES = [("smock", ("Sleeve",)), ("smock", ("Seed pocket", "Front")), ("hat", ("Brim",))]
each_choice = pytest.mark.parametrize(("demo", "pieces"), CHOICES)


def record_of(publication: Publication) -> dict:
    [attached] = [a for a in publication.attachments if a.name == "blocksheet.json"]
    return json.loads(attached.content)


def chosen(demo: str, pieces: tuple[str, ...], **how: object) -> Publication:
    return lay_out(pattern_of_demo(demo), plan_of(demo, "a4"), pieces=pieces, **how)  # type: ignore[arg-type]


@each_choice
def test_only_pages_with_ink_of_the_pieces_are_printed(demo: str, pieces: tuple[str, ...]) -> None:
    """A page is there when a line of a chosen piece enters its own part of the sheet."""
    plan, publication = plan_of(demo, "a4"), chosen(demo, pieces)
    lines = shapely.union_all(
        [
            shapely.LineString(run.edge.path.moved(placement.at).flattened(0.02))
            for placement in plan.placements
            if placement.piece.name in pieces
            for run in placement.piece.runs
        ]
    )
    names = {page.name for page in publication.pages}
    inked = {
        cell.name
        for cell in plan.cells
        if lines.intersects(shapely.box(*plan.grid.core(cell).grown(-0.1)))
    }
    assert inked <= names
    near = {
        cell.name
        for cell in plan.cells
        if shapely.convex_hull(lines).intersects(shapely.box(*plan.grid.core(cell)))
    }
    cells = {cell.name for cell in plan.cells}
    assert names & cells <= near
    assert "start" in names


@each_choice
def test_only_the_chosen_pieces_are_drawn_and_listed(demo: str, pieces: tuple[str, ...]) -> None:
    """In the lines, the words, the layers and the record."""
    publication = chosen(demo, pieces)
    drawn = set()
    for page in publication.pages:
        drawn |= {thing.layer.split(" · ")[0] for thing in lines_on(page) if thing.layer}
        for thing in everything_on(page):
            if isinstance(thing, PrintedWords) and thing.layer:
                drawn.add(thing.layer.split(" · ")[0])
    assert drawn == set(pieces)
    record = record_of(publication)
    assert record["pieces"] == list(pieces)
    assert {placement["piece"] for placement in record["placements"]} == set(pieces)
    assert {layer["piece"] for layer in record["layers"] if "piece" in layer} == set(pieces)
    assert [layer["layer"] for layer in record["layers"]] == list(publication.layers)
    names = [page.name for page in publication.pages]
    assert [page["name"] for page in record["pages"]] == names[len(record["front"]) :]
    assert pdf_bytes(publication).startswith(b"%PDF-")


@each_choice
def test_a_chosen_page_can_take_the_place_of_the_one_in_the_whole(
    demo: str, pieces: tuple[str, ...]
) -> None:
    """Its lines and the crosses of its joints are at the same places."""
    whole = {page.name: page for page in lay_out(pattern_of_demo(demo), plan_of(demo, "a4")).pages}
    publication = chosen(demo, pieces)
    front = record_of(publication)["front"]
    printed = {page.name for page in publication.pages} - set(front)
    for page in publication.pages:
        if page.name in front:
            continue
        before = {
            line for line in whole_lines(whole[page.name]) if line[0].split(" · ")[0] in pieces
        }
        assert whole_lines(page) <= before
        crosses = {group.facts for group in groups_on(page, "Joint")}
        assert crosses <= {group.facts for group in groups_on(whole[page.name], "Joint")}
    # Only what is printed is joined to each other: every cross is on two pages.
    seen: dict[object, int] = {}
    for page in publication.pages:
        for group in groups_on(page, "Joint"):
            seen[group.facts] = seen.get(group.facts, 0) + 1
    assert printed
    assert set(seen.values()) <= {2}


def whole_lines(page) -> set[tuple[str, tuple[float, ...]]]:
    return {
        (line.layer, tuple(round(side, 6) for side in line.path.bounds))
        for line in lines_on(page)
        if line.pattern
    }


def test_an_unknown_piece_is_told_with_those_that_there_are() -> None:
    """Nothing is published for a slip of the pen."""
    with pytest.raises(PatternError, match=r"no piece called 'Cufff'.*'Brim'"):
        chosen("hat", ("Cufff",))


def test_pages_between_the_parts_of_a_piece_are_kept() -> None:
    """A blank page that held the whole together holds the piece together as well."""
    setup = PageSetup(find_paper("a4"))
    piece = dataclasses.replace(rectangular("Ring", 100, 100))
    cells = tuple(Cell(row, column) for row in range(2) for column in range(4))
    plan = Plan(Grid(setup, 2, 4), (Placement(piece, Affine()),), cells)
    ends = frozenset({Cell(0, 0), Cell(0, 3)})
    kept = chosen_plan(plan, ("Ring",), [ends])
    assert kept.cells == tuple(Cell(0, column) for column in range(4))
    apart = dataclasses.replace(plan, cells=(Cell(0, 0), Cell(0, 3)))
    assert chosen_plan(apart, ("Ring",), [ends]).cells == apart.cells
    assert chosen_plan(plan, (), []) is plan


@pytest.mark.parametrize("way", list(Way))
def test_the_way_of_joining_is_told(way: Way) -> None:
    """In the record, and every page can still be read."""
    publication = chosen("hat", (), way=way)
    assert record_of(publication)["joint"] == way.value
    assert all(words_on(page) for page in publication.pages)


def test_a_layer_keeps_its_name_when_few_pieces_are_printed() -> None:
    """A piece called like a style has a number behind its name, whatever is chosen."""
    plain = rectangular("Words", 80, 80)
    other = rectangular("Page marks", 90, 60)
    pattern = pattern_of(plain, other)
    setup = PageSetup(find_paper("a4"))
    plan = Plan(
        Grid(setup, 1, 1),
        (Placement(plain, Affine.move(5, 5)), Placement(other, Affine.move(90, 100))),
        (Cell(0, 0),),
    )
    publication = lay_out(pattern, plan, pieces=("Page marks",))
    assert publication.layers == ("Page marks", "Page marks (2)", "Words (2)")
