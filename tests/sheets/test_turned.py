"""Pieces lie at any angle; what is written on them is read upright, whole, and clear of lines."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
import shapely.affinity

from tests.demos import pattern_of_demo
from tests.printed import PrintedWords, everything_on, fills_on, lines_on, words_on
from tests.sheets.test_nothing_overlaps import all_faults
from tests.turned import turned_demo
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies
from tiler.sheets.allowances import allowance_words
from tiler.sheets.drawing import Page, Publication

#: Degrees; each demo has more pieces than one of these has turns, so they mix.
TURNS = (
    (37.0, 121.0, 203.0, 299.0),
    (3.0, 88.0, 181.0, 268.0, 45.0),
    (-20.0, 67.5, 160.0),
)
#: Each demo, and each of the turns twice.
each_turned = pytest.mark.parametrize(
    ("demo", "paper", "turns"),
    [
        ("apron", "a4", TURNS[0]),
        ("apron", "letter", TURNS[1]),
        ("hat", "letter", TURNS[1]),
        ("hat", "a4", TURNS[2]),
        ("smock", "a4", TURNS[2]),
        ("trousers", "a4", TURNS[0]),
    ],
)


def sheets(plan: Plan, publication: Publication) -> list[tuple[Point, Page]]:
    """Pages with the place of their paper on the sheet."""
    pages = {page.name: page for page in publication.pages}
    return [(plan.grid.origin(cell), pages[cell.name]) for cell in plan.cells]


def leaning(words: PrintedWords) -> float:
    (x0, y0), (x1, y1), *_ = words.ink.exterior.coords
    return math.degrees(math.atan2(y1 - y0, x1 - x0))


@each_turned
def test_every_word_keeps_clear_of_words_lines_and_edges(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """As on pages whose pieces lie straight."""
    plan, publication = turned_demo(demo, paper, turns)
    pages = tuple(page for _, page in sheets(plan, publication))
    assert all_faults(replace(publication, pages=pages), plan.grid.setup) == []


@each_turned
def test_words_are_read_from_below_or_from_the_right(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """Never on their head, and never from the left."""
    plan, publication = turned_demo(demo, paper, turns)
    astray = {
        (words.text, round(leaning(words), 2))
        for _, page in sheets(plan, publication)
        for words in words_on(page)
        if words.layer and not -89.99 < leaning(words) <= 90.001
    }
    assert astray == set()


@each_turned
def test_every_word_on_a_piece_is_whole_on_one_page(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """Nothing is only printed in halves."""
    printed, whole = set(), set()
    plan, publication = turned_demo(demo, paper, turns)
    for _, page in sheets(plan, publication):
        for words in everything_on(page):
            if isinstance(words, PrintedWords) and words.layer:
                printed.add((words.layer, words.text))
                if words.whole:
                    whole.add((words.layer, words.text))
    assert sorted(printed - whole) == []


@each_turned
def test_each_piece_has_its_label_within_itself(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """Name and allowance on one page, and no word of a piece outside it."""
    plan, publication = turned_demo(demo, paper, turns)
    inside = {
        p.piece.name: shapely.union_all(
            [shapely.Polygon(o.path.moved(p.at).flattened(0.05)) for o in p.piece.outlines]
        )
        for p in plan.placements
    }
    told, astray = set(), set()
    for origin, page in sheets(plan, publication):
        for name, area in inside.items():
            here = [w for w in words_on(page) if w.layer.split(" · ")[0] == name]
            text = " ".join(words.text for words in here if words.whole)
            piece = next(p for p in pattern_of_demo(demo).pieces if p.name == name)
            if name in text and allowance_words(piece) in text:
                told.add(name)
            for words in here:
                ink = shapely.affinity.translate(words.ink, *origin)
                if not area.buffer(0.1).covers(ink):
                    astray.add((name, words.text, page.name))
    assert told == set(inside)
    assert astray == set()


@each_turned
def test_a_slanted_fold_is_told_along_its_edge(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """The words run parallel to a fold edge of their piece, and two arrows point at it."""
    plan, publication = turned_demo(demo, paper, turns)
    for placement in plan.placements:
        folds = [
            edge.path.moved(placement.at)
            for run in placement.piece.runs
            for edge in (run.edge,)
            if edge.lies is Lies.FOLD and edge.path.length >= 200
        ]
        if not folds:
            continue
        told = [
            (leaning(words), shapely.affinity.translate(words.ink, *origin))
            for origin, page in sheets(plan, publication)
            for words in words_on(page)
            if words.layer == placement.piece.name and "fold" in words.text and words.whole
        ]
        heads = shapely.union_all(
            [
                shapely.affinity.translate(fill.ink, *origin)
                for origin, page in sheets(plan, publication)
                for fill in fills_on(page)
                if fill.grey == 0
            ]
        )
        for fold in folds:
            along = math.atan2(fold.end.y - fold.start.y, fold.end.x - fold.start.x)
            line = shapely.LineString([fold.start, fold.end])
            near = [
                lean
                for lean, ink in told
                if ink.distance(line) < 25 and abs(math.sin(math.radians(lean) - along)) < 0.01
            ]
            assert near, (placement.piece.name, math.degrees(along))
            # Of each head the first 0.4 mm are nearer than 1 mm: 0.56 * 0.4 ** 2 / 2 mm2.
            assert (heads & line.buffer(1.0)).area > 2 * 0.56 * 0.4**2 / 2 - 0.005


@each_turned
def test_pages_carry_nothing_that_does_not_show(
    demo: str, paper: str, turns: tuple[float, ...]
) -> None:
    """A part of a piece is on a page only where its ink comes into the window."""
    plan, publication = turned_demo(demo, paper, turns)
    for _, page in sheets(plan, publication):
        lines = [line for line in lines_on(page) if line.pattern]
        near = {
            line.layer
            for line in lines
            if line.window
            and shapely.LineString(line.path.flattened(0.02)).distance(shapely.box(*line.window))
            <= line.pen.width / 2 + 0.1
        }
        assert {line.layer for line in lines} == near
        for words in everything_on(page):
            if isinstance(words, PrintedWords) and words.layer and words.window:
                # The lines of a block stand together.
                assert words.ink.distance(shapely.box(*words.window)) < 60
