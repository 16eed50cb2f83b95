"""A half piece that cannot be cut on its fold is an error, before any cloth is laid for it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.demos import DEMOS, drafted_demo
from tests.drafting.checks.making import pattern, piece
from tiler.drafting.checks import Fault, check
from tiler.drafting.checks.foldcuts import cannot_be_cut
from tiler.layout.cloth.demand import needs_of
from tiler.pattern.errors import ClothError
from tiler.pattern.model import Cut, Lay, Lies, Piece, Severity

BOX = [(0, 0), (0, 300), (100, 300), (100, 0)]
#: The fold is the line x = 50; the hem's end lies 30 mm on its other side.
OVER = [(50, 50), (50, 200), (200, 200), (200, 0), (20, 0)]
ON_FOLD = Cut(1, "main", Lay.FOLD)


def told(made: Piece, code: str) -> list[Fault]:
    return [fault for fault in check(pattern(made)) if fault.code == code]


def half(places: list[tuple[int, int]]) -> Piece:
    return piece("Front", places, lies={"A": Lies.FOLD}, allowance=0, cut=ON_FOLD)


def test_a_half_that_reaches_over_its_fold_is_told_with_how_far() -> None:
    (fault,) = told(half(OVER), "fold-no-half")
    assert fault.severity is Severity.ERROR
    assert fault.where == "Front, edge A"
    assert "reaches 30 mm over its fold" in fault.text
    assert "one side" in fault.remedy
    assert not told(half(BOX), "fold-no-half")


def test_cloth_is_not_laid_for_it() -> None:
    with pytest.raises(ClothError, match="over its fold"):
        needs_of(pattern(half(OVER)), "main")


def test_two_folds_leave_no_half() -> None:
    made = piece("Front", BOX, lies={"A": Lies.FOLD, "C": Lies.FOLD}, allowance=0, cut=ON_FOLD)
    (fault,) = told(made, "fold-no-half")
    assert "A, C" in fault.text


def test_a_cut_on_the_fold_without_a_fold_is_an_error_and_is_not_laid() -> None:
    made = piece("Front", BOX, cut=ON_FOLD)
    (fault,) = told(made, "fold-unsaid")
    assert fault.severity is Severity.ERROR
    assert 'fold = "A"' in fault.remedy
    assert 'lay = "copies"' in fault.remedy
    with pytest.raises(ClothError, match=r'fold = "A".*lay = "copies"'):
        needs_of(pattern(made), "main")
    whole = replace(made, cuts=(Cut(1, "main", Lay.COPIES),))
    assert not told(whole, "fold-unsaid")


@pytest.mark.parametrize("demo", DEMOS)
def test_every_piece_of_a_demo_can_be_cut(demo: str) -> None:
    assert not [fault for each in drafted_demo(demo).pieces for fault in cannot_be_cut(each)]
