"""The picture to look at: every piece in proportion, its edges lettered and measured."""

from __future__ import annotations

import dataclasses
import re
from collections import Counter
from functools import cache

import pytest
import shapely
from hypothesis import given, settings

from tests.demos import DEMOS, drafted_demo, each_demo
from tests.printed import fills_on, lines_on, words_on
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tests.strategies import moved, pattern_of, patterns, rectangular
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import bounds_of
from tiler.pattern.model import Cut, Lay, Lies, Outline, Pattern, Piece, Role, Side
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import Paper, Wishes
from tiler.sheets.allowances import allowance_words
from tiler.sheets.drawing import Page
from tiler.sheets.label import cut_words
from tiler.sheets.lettering import LARGE
from tiler.sheets.picture import draw_picture
from tiler.sheets.pictured import draw_pictured
from tiler.sheets.words import say


@cache
def picture_of(demo: str) -> Page:
    """The picture of a demo, drawn once."""
    return draw_picture(drafted_demo(demo))


def folded(name: str) -> Piece:
    """A rectangle of 400 x 600 mm whose left edge lies on the fold."""
    piece = rectangular(name, 400, 600, cuts=(Cut(1, "main", Lay.FOLD),))
    first, *others = piece.outlines[0].edges
    edges = (dataclasses.replace(first, lies=Lies.FOLD), *others)
    return dataclasses.replace(piece, outlines=(Outline(Role.CUT, edges),))


@each_demo
def test_everything_lies_on_the_picture(demo: str) -> None:
    """No line and no word leaves the page."""
    page = picture_of(demo)
    frame = shapely.box(0, 0, page.width, page.height)
    assert [w.text for w in words_on(page) if not frame.covers(w.ink)] == []
    assert [line.path.bounds for line in lines_on(page) if not frame.covers(line.ink)] == []


@each_demo
def test_no_words_lie_over_other_words(demo: str) -> None:
    """Letters, lengths, allowances and instructions can all be read."""
    assert colliding_words(picture_of(demo)) == []


@each_demo
def test_no_line_runs_through_words(demo: str) -> None:
    """Neither a pattern line nor a ring, a bracket or a line that leads to an edge."""
    assert struck_words(picture_of(demo), lambda _: True) == []


@each_demo
def test_no_arrowhead_lies_under_words(demo: str) -> None:
    """Filled arrowheads of grainlines and folds keep clear of all words."""
    page = picture_of(demo)
    dark = shapely.union_all([fill.ink for fill in fills_on(page) if fill.grey < 0.9])
    under = [w.text for w in words_on(page) if w.ink.buffer(-0.1).intersects(dark)]
    assert under == []


@each_demo
def test_nothing_is_set_smaller_than_seven_points(demo: str) -> None:
    """On A3 everything has its own size; on A4 it is still 5 points."""
    page = picture_of(demo)
    assert [w.text for w in words_on(page) if w.size_pt < 7 - 1e-6] == []


@each_demo
def test_every_edge_has_its_letter_and_its_length(demo: str) -> None:
    """The length is that of the true stitch line, not of the small drawing."""
    pattern = drafted_demo(demo)
    texts = [w.text for w in words_on(picture_of(demo))]
    for piece in pattern.pieces:
        for ring in piece.stitch or piece.outlines:
            for edge in ring.edges:
                assert format_mm(edge.path.length, 0) in texts
    letters = [e.letter for p in pattern.pieces for e in p.outlines[0].edges]
    for letter in set(letters):
        assert texts.count(letter) >= letters.count(letter)


@each_demo
def test_every_edge_tells_its_allowance(demo: str) -> None:
    """As a number between the lines, or with a plus behind the length."""
    pattern = drafted_demo(demo)
    texts = [w.text for w in words_on(picture_of(demo))]
    numbers = Counter(text.removeprefix("+") for text in texts)
    wanted: Counter[str] = Counter()
    for piece in pattern.pieces:
        for edge in {edge.path: edge for o in piece.outlines for edge in o.edges}.values():
            width = edge.allowance
            if width is None and edge.lies in (Lies.SEWN, Lies.HEM):
                width = piece.allowance
            if width:
                wanted[f"{width:g}"] += 1
    assert wanted
    assert {number: numbers[number] for number in wanted} == dict(wanted)


@each_demo
def test_every_piece_has_its_instruction_block(demo: str) -> None:
    """Name, number, how many of which cloth, size in mm and inches, what allowance it holds."""
    pattern = drafted_demo(demo)
    joined = " ".join(w.text for w in words_on(picture_of(demo)))
    for number, piece in enumerate(pattern.pieces, start=1):
        assert piece.name in joined
        assert f"piece {number} of {len(pattern.pieces)}" in joined
        for cut in piece.cuts:
            assert cut_words(cut) in joined
        box = bounds_of([outline.path.bounds for outline in piece.outlines])
        assert f"{format_mm(box.width, 0)} × {format_mm(box.height, 0)}" in joined
        assert allowance_words(piece) in joined


@each_demo
def test_an_instruction_lies_inside_its_piece_or_below_it(demo: str) -> None:
    """Where the name is inside an outline, it is inside its own."""
    pattern = drafted_demo(demo)
    composed = {piece.name: draw_pictured(piece, pattern, 0.2) for piece in pattern.pieces}
    for piece in pattern.pieces:
        page = Page("piece", 600, 600, composed[piece.name].items)
        rings = [
            shapely.Polygon(o.path.moved(Affine.scale(0.2, 0.2)).flattened(0.05))
            for o in piece.outlines
        ]
        name = next(w for w in words_on(page) if w.bold and w.size_pt == LARGE)
        inside = shapely.intersection_all(rings).covers(name.ink)
        assert inside or name.ink.bounds[3] <= min(ring.bounds[1] for ring in rings)


@each_demo
def test_a_picture_fits_on_a3_or_on_two_sheets_of_it(demo: str) -> None:
    """A3 lying is 420 x 297 mm (ISO 216), A2 standing 420 x 594 mm."""
    page = picture_of(demo)
    assert page.width == 420
    assert page.height <= 594


def test_the_fold_says_how_it_comes_to_paper() -> None:
    """On the fold, printed opened, or printed joined to another half."""
    front, back = (folded(name) for name in ("Front", "Back"))
    whole = dataclasses.replace(folded("Yoke"), wishes=Wishes(paper=Paper.WHOLE))
    pattern = pattern_of(front, back, whole, folded("Pocket"), joined=(("Front", "Back"),))
    texts = [w.text for w in words_on(draw_picture(pattern))]
    joined = " ".join(texts)
    assert "on the fold" in texts
    assert "on the fold; printed opened" in joined
    assert "printed opened, as a whole piece" in joined
    assert "on the fold; printed joined to Back" in joined
    assert "printed joined to Front along the fold" in joined


def test_a_lone_asymmetric_piece_says_which_side_it_is() -> None:
    """Left as worn, drawn face up."""
    piece = dataclasses.replace(rectangular("Seed pocket", 300, 300), side=Side.LEFT)
    texts = [w.text for w in words_on(draw_picture(pattern_of(piece)))]
    assert "left side, drawn face up" in texts


def test_the_stitch_line_is_shown_also_where_the_sheets_have_none() -> None:
    """A piece traced by its cut line, whose stitch line is known but not to be printed."""
    piece = dataclasses.replace(rectangular("Cuff", 200, 100), allowance=10.0)
    seam = rectangular("Cuff", 180, 80).outlines[0]
    (ring,) = moved(dataclasses.replace(piece, outlines=(seam,)), Affine.move(10, 10)).outlines
    known = dataclasses.replace(piece, stitch=(dataclasses.replace(ring, role=Role.STITCH),))
    page = draw_picture(pattern_of(known))
    boxes = [line.path.bounds for line in lines_on(page)]
    sizes = {(round(box.width), round(box.height)) for box in boxes}
    assert {(200, 100), (180, 80)} <= sizes
    assert [w.text for w in words_on(page)].count("10") == 4
    assert [w.text for w in words_on(page)].count("180 mm") == 2


@pytest.mark.parametrize("demo", DEMOS)
def test_pieces_are_drawn_in_proportion_to_each_other(demo: str) -> None:
    """One factor holds for all, and the picture says which."""
    pattern = drafted_demo(demo)
    page = picture_of(demo)
    (percent,) = {
        int(match[1])
        for w in words_on(page)
        if (match := re.search(r"drawn at (\d+) % of true size", w.text))
    }
    total = sum(run.edge.path.length for piece in pattern.pieces for run in piece.runs)
    # Outlines are the longest black lines: fold edges apart, each ring is drawn in one go.
    drawn = sum(
        line.path.length for line in lines_on(page) if line.pen.grey == 0 and line.pen.width >= 0.24
    )
    assert drawn >= total * percent / 100 * 0.8


def test_a_small_piece_is_not_blown_up() -> None:
    """A pocket of 50 mm is drawn at true size and not larger."""
    page = draw_picture(pattern_of(rectangular("Loop", 50, 40)))
    rings = [line.path.bounds for line in lines_on(page) if line.path.length > 100]
    assert any(box.width == pytest.approx(50) and box.height == pytest.approx(40) for box in rings)
    assert "100 % of true size" in " ".join(w.text for w in words_on(page))


@settings(max_examples=12, deadline=None)
@given(patterns(most=4, smallest=60))
def test_whatever_the_pieces_nothing_runs_over_words(pattern: Pattern) -> None:
    """Random blocks with darts, notches, folds and grainlines anywhere."""
    page = draw_picture(pattern)
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []


@each_demo
def test_the_key_tells_of_every_mark_that_the_pieces_have_and_of_no_other(demo: str) -> None:
    """Notches, marked points, buttons and buttonholes."""
    told = {words.text for words in words_on(picture_of(demo))}
    roles = {mark.role for piece in drafted_demo(demo).pieces for mark in piece.marks}
    for role in (Role.NOTCH, Role.DRILL, Role.BUTTON, Role.BUTTONHOLE):
        assert (say(f"key_{role.value}") in told) == (role in roles)
