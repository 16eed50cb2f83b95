"""Places that are used again after the pattern has changed."""

from __future__ import annotations

from dataclasses import replace

from tests.layout.byhand import A4, QUICK, apart, body_of, check_pages, laid_apart
from tests.strategies import pattern_of, rectangular
from tiler.layout.byhand import kept_places, units_on
from tiler.layout.crowding import Lain
from tiler.layout.relaying import relaid
from tiler.layout.spots import spots_of
from tiler.pattern.model import Pattern

PLACED = kept_places(laid_apart(), apart())


def grown(**sizes: tuple[float, float]) -> Pattern:
    """The pattern with some pieces of another size."""
    return pattern_of(
        *(
            rectangular(each.name, *sizes[each.name]) if each.name in sizes else each
            for each in apart().pieces
        )
    )


def test_a_piece_that_has_grown_a_little_stays_where_its_middle_was() -> None:
    pattern = grown(Tab=(61, 91))
    found = relaid(pattern, A4, PLACED, QUICK)
    assert found.pushed == ()
    check_pages(found.plan, pattern)
    spots = spots_of(found.plan, units_on(found.plan, pattern))
    assert [(s.at, s.turn) for s in spots] == [(each.at, each.turn) for each in PLACED.pieces]


def test_of_two_pieces_that_lie_over_one_another_the_smaller_is_laid_beside() -> None:
    # The upper edge of the front runs through it.
    lying = replace(PLACED.pieces[2], page="A1", at=(90.0, 30.0))
    found = relaid(apart(), A4, replace(PLACED, pieces=(*PLACED.pieces[:2], lying)), QUICK)
    assert found.pushed == (("Tab", "Front"),)
    front, back, tab = (body_of(found.plan, piece) for piece in apart().pieces)
    assert tab.distance(front) > 3.8
    assert tab.distance(back) > 3.8
    check_pages(found.plan, apart())


def test_all_other_pieces_stay_where_they_were() -> None:
    pattern = grown(Back=(470, 560))
    found = relaid(pattern, A4, PLACED, QUICK)
    assert not any(p.over for p in Lain(found.plan, units_on(found.plan, pattern)).close(0))
    kept = {each.piece: (each.at, each.turn) for each in PLACED.pieces}
    pushed = {name for name, _ in found.pushed}
    for unit, spot in zip(
        units_on(found.plan, pattern),
        spots_of(found.plan, units_on(found.plan, pattern)),
        strict=True,
    ):
        if unit[0].name not in pushed:
            assert (spot.at, spot.turn) == kept[unit[0].name]


def test_a_new_piece_is_laid_beside_and_named() -> None:
    pattern = pattern_of(*apart().pieces, rectangular("Loop", 30, 200))
    found = relaid(pattern, A4, PLACED, QUICK)
    assert found.new == ("Loop",)
    check_pages(found.plan, pattern)
    # It is on pages of its own: the sheets of the others are as they were.
    assert len(found.plan.cells) == len(laid_apart().cells) + 1


def test_a_piece_that_is_gone_is_named_and_missed_by_nobody() -> None:
    pattern = pattern_of(*apart().pieces[:2])
    found = relaid(pattern, A4, PLACED, QUICK)
    assert found.gone == ("Tab",)
    assert [each.piece.name for each in found.plan.placements] == ["Front", "Back"]
    check_pages(found.plan, pattern)


def test_places_of_which_none_is_left_are_no_hindrance() -> None:
    pattern = pattern_of(rectangular("Loop", 30, 200))
    found = relaid(pattern, A4, PLACED, QUICK)
    assert found.new == ("Loop",)
    assert found.gone == ("Front", "Back", "Tab")
    assert len(found.plan.cells) == 1


def test_the_tally_is_that_of_the_pattern() -> None:
    tally = relaid(apart(), A4, PLACED, QUICK).plan.tally
    assert tally == replace(laid_apart().tally, split=())  # type: ignore[type-var]


def test_a_piece_in_the_middle_of_a_large_one_where_no_page_is_printed_is_a_sheet_of_its_own() -> (
    None
):
    lying = replace(PLACED.pieces[2], page="B2", at=(90.0, 110.0))
    found = relaid(apart(), A4, replace(PLACED, pieces=(*PLACED.pieces[:2], lying)), QUICK)
    assert found.pushed == ()
    assert [len(cells) for cells in found.plan.sheets] == [13, 1]
    check_pages(found.plan, apart())
