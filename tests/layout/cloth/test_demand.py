"""What has to be cut from a cloth."""

import pytest

from tests.demos import DEMOS, drafted_demo, drafted_piece
from tiler.drafting.unfold.whole import unfolded
from tiler.layout.cloth.demand import needs_of, whole_ring
from tiler.layout.cloth.ring import area_of, points_of
from tiler.pattern.errors import ClothError


@pytest.mark.parametrize("demo", DEMOS)
def test_every_cut_of_the_cloth_is_needed_once(demo: str) -> None:
    pattern = drafted_demo(demo)
    for cloth, _ in pattern.cloths:
        asked = [(p.name, c.count) for p in pattern.pieces for c in p.cuts if c.cloth == cloth]
        assert [(need.piece, need.count) for need in needs_of(pattern, cloth)] == asked


def test_a_half_opens_to_the_piece_that_drafting_opens() -> None:
    (need,) = (n for n in needs_of(drafted_demo("apron"), "main") if n.piece == "Tool pocket")
    drawn = unfolded(drafted_piece("apron", "Tool pocket")).outlines[0]
    assert area_of(points_of(whole_ring(need))) == pytest.approx(drawn.area, rel=1e-4)


def test_a_piece_of_several_styles_takes_the_room_of_all() -> None:
    (need,) = (n for n in needs_of(drafted_demo("hat"), "main") if n.piece == "Brim")
    areas = [outline.area for outline in drafted_piece("hat", "Brim").outlines]
    assert area_of(points_of(need.ring)) >= max(areas) * 0.999


def test_left_and_right_are_told_by_outline_and_notches() -> None:
    needs = {need.piece: need for need in needs_of(drafted_demo("trousers"), "main")}
    assert needs["Knee patch"].symmetric
    assert not needs["Front"].symmetric
    # A rectangle, but its notches are not in the middle.
    assert not needs["Waistband"].symmetric


def test_an_unknown_cloth_is_refused_with_those_that_there_are() -> None:
    with pytest.raises(ClothError, match="main, lining, interfacing"):
        needs_of(drafted_demo("hat"), "velvet")
