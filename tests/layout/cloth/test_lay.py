"""Lay plans: valid by the checker, the same on every run, and as long as the cloth asks for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.demos import DEMOS, drafted_demo
from tests.drawing import draws
from tests.layout.cloth.making import ALL, BACK, FLAP, POCKET, SLEEVE, need
from tiler.layout.cloth.checking import faults_of
from tiler.layout.cloth.demand import needs_of
from tiler.layout.cloth.lay import lay_cloth
from tiler.layout.cloth.model import Cloth, LayPlan, Match, Need, Spread
from tiler.layout.packing.options import Packing
from tiler.pattern.affine import Point
from tiler.pattern.errors import ClothError, Terminated
from tiler.pattern.model import Lay

QUICK = Packing(effort="quick")
each_spread = pytest.mark.parametrize("spread", list(Spread))


@st.composite
def garment_pieces(draw: st.DrawFn) -> tuple[Need, ...]:
    """Two to five pieces: quarters of a garment with a hollow, or straps."""
    made = []
    for number in range(draw(st.integers(2, 5))):
        wide, long = draw(st.integers(30, 190)), draw(st.integers(40, 400))
        hollow = draw(st.integers(0, wide // 2))
        lay = draw(st.sampled_from(list(Lay)))
        count = draw(st.integers(1, 2)) * (2 if lay is Lay.PAIR else 1)
        ring = [(0, 0), (wide, 0), (wide, long * 0.6), (wide - hollow, long * 0.7), (0, long)]
        made.append(need(f"P{number}", ring, count, lay, fold=lay is Lay.FOLD))
    return tuple(made)


@draws(8)
@given(
    garment_pieces(),
    st.sampled_from(list(Spread)),
    st.booleans(),
    st.sampled_from([0.0, 2.0, 7.0]),
    st.sampled_from([0.0, 0.04]),
)
def test_any_pieces_are_laid_without_a_fault(
    needs: tuple[Need, ...], spread: Spread, nap: bool, gap: float, shrinks: float
) -> None:
    cloth = Cloth("main", 800.0, spread, nap=nap, gap=gap, shrinkage=(shrinks, shrinks))
    plan = lay_cloth(needs, cloth, QUICK)
    assert faults_of(plan, needs) == ()
    # Less cloth than the pieces have, there cannot be.
    assert 0 < plan.utilisation <= 1
    # Length before washing is L / (1 - s), not L (1 + s).
    assert plan.to_buy * (1 - shrinks) == pytest.approx(plan.length)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize(("width", "spread"), [(1117.6, Spread.FOLDED), (1500.0, Spread.SINGLE)])
def test_the_demos_are_laid_without_a_fault(demo: str, width: float, spread: Spread) -> None:
    needs = needs_of(drafted_demo(demo), "main")
    assert faults_of(lay_cloth(needs, Cloth("main", width, spread), QUICK), needs) == ()


def test_the_same_is_laid_in_the_same_way() -> None:
    cloth = Cloth("main", 900.0)
    assert lay_cloth(ALL, cloth, QUICK) == lay_cloth(ALL, cloth, QUICK)


def test_a_lone_piece_with_a_left_and_a_right_is_cut_of_a_single_layer() -> None:
    plan = lay_cloth((BACK, FLAP), Cloth("main", 600.0), QUICK)
    assert [part.spread for part in plan.parts] == [Spread.FOLDED, Spread.SINGLE]
    (flap,) = plan.parts[1].laid
    assert (flap.piece, flap.mirrored, flap.layers) == ("Flap", False, 1)


def test_a_pair_is_one_cut_through_two_layers_or_two_cuts_one_mirrored() -> None:
    (cut,) = lay_cloth((SLEEVE,), Cloth("main", 900.0), QUICK).parts[0].laid
    assert cut.layers == 2
    two = lay_cloth((SLEEVE,), Cloth("main", 900.0, Spread.SINGLE), QUICK).parts[0].laid
    assert sorted(each.mirrored for each in two) == [False, True]


def test_a_half_lies_on_the_fold_and_is_opened_on_single_cloth() -> None:
    (half,) = lay_cloth((BACK,), Cloth("main", 600.0), QUICK).parts[0].laid
    assert half.on_fold
    assert min(p.y for p in half.outline) == pytest.approx(0)
    (whole,) = lay_cloth((BACK,), Cloth("main", 600.0, Spread.SINGLE), QUICK).parts[0].laid
    assert whole.opened
    assert max(p.y for p in whole.outline) - min(p.y for p in whole.outline) == pytest.approx(480)


def test_a_piece_too_wide_for_half_the_cloth_is_cut_of_a_single_layer() -> None:
    wide = need("Skirt", [(0, 0), (500, 0), (400, 300), (0, 300)], 2, Lay.PAIR)
    plan = lay_cloth((wide, POCKET), Cloth("main", 700.0), QUICK)
    assert faults_of(plan, (wide, POCKET)) == ()
    spreads = {each.piece: part.spread for part in plan.parts for each in part.laid}
    assert spreads["Skirt"] is Spread.SINGLE


def test_a_piece_wider_than_the_cloth_is_refused_and_told_how_wide_both_are() -> None:
    wide = need("Skirt", [(0, 0), (500, 0), (400, 300), (0, 300)], 2, Lay.PAIR)
    with pytest.raises(ClothError, match=r"Skirt: it is 500 mm wide .* has 430 mm between"):
        lay_cloth((wide,), Cloth("main", 450.0), QUICK)


def test_a_tilt_that_the_user_allows_makes_a_strap_fit() -> None:
    # Across the grain 432 mm, and 430 are free: 90 x 432 turned by 8 degrees is less across.
    bar = need("Bar", [(0, 0), (400, 60), (400, 120), (0, 60)], 1, Lay.COPIES)
    narrow = Cloth("main", 416.0, Spread.SINGLE)
    with pytest.raises(ClothError):
        lay_cloth((bar,), narrow, QUICK)
    plan = lay_cloth((bar,), replace(narrow, tilt=45.0), QUICK)
    assert faults_of(plan, (bar,)) == ()


@each_spread
def test_the_check_runs_on_across_a_seam(spread: Spread) -> None:
    needs = (SLEEVE, POCKET, BACK)
    matches = (
        Match("Back", Point(200, 300), "Sleeve", Point(90, 260), "armhole"),
        Match("Sleeve", Point(220, 0), "Pocket", Point(0, 75)),
    )
    for repeat in ((60.0, 0.0), (60.0, 45.0)):
        cloth = Cloth("main", 1100.0, spread, repeat=repeat)
        plan = lay_cloth(needs, cloth, QUICK, matches=matches)
        assert faults_of(plan, needs, matches) == ()


def test_seams_that_cannot_all_match_are_refused() -> None:
    matches = (
        Match("Sleeve", Point(0, 0), "Pocket", Point(0, 0)),
        Match("Sleeve", Point(0, 0), "Pocket", Point(0, 30), "side"),
    )
    with pytest.raises(ClothError, match=r"seam side.* 30 mm off"):
        lay_cloth(ALL, Cloth("main", 900.0, repeat=(70.0, 0.0)), QUICK, matches=matches)


def test_an_interrupt_keeps_the_best_so_far_and_the_end_of_the_system_does_not() -> None:
    def stop_with(wish: BaseException) -> LayPlan:
        def told(length: float, share: float) -> None:
            if share > 0.1:
                raise wish

        cloth = Cloth("main", 900.0, Spread.SINGLE)
        return lay_cloth(ALL, cloth, Packing(effort="normal"), told)

    plan = stop_with(KeyboardInterrupt())
    assert plan.stopped
    assert faults_of(plan, ALL) == ()
    with pytest.raises(Terminated):
        stop_with(Terminated())


def test_progress_only_grows_and_lengths_only_shrink() -> None:
    heard: list[tuple[float, float]] = []
    lay_cloth(ALL, Cloth("main", 900.0, Spread.SINGLE), QUICK, lambda mm, s: heard.append((mm, s)))
    assert [share for _, share in heard] == sorted(share for _, share in heard)
    assert [mm for mm, _ in heard] == sorted((mm for mm, _ in heard), reverse=True)
    assert heard[-1][1] <= 1


def test_two_words_for_one_piece_are_both_cut() -> None:
    lone = replace(SLEEVE, count=1, lay=Lay.COPIES)
    for needs in ((SLEEVE, lone), (POCKET, POCKET)):
        plan = lay_cloth(needs, Cloth("main", 900.0), QUICK)
        assert faults_of(plan, needs) == ()
        assert sum(each.layers for part in plan.parts for each in part.laid) == 4 - (
            needs[0] is SLEEVE
        )


def test_a_piece_that_the_check_leaves_no_place_is_refused() -> None:
    wide = need("Wide", [(0, 0), (400, 0), (400, 90), (0, 90)], 1, Lay.COPIES)
    matches = (Match("Back", Point(0, 0), "Wide", Point(10, 0)),)
    cloth = Cloth("main", 430.0, Spread.SINGLE, repeat=(0.0, 300.0))
    half = replace(BACK, ring=tuple(Point(p.x / 2, p.y) for p in BACK.ring))
    with pytest.raises(ClothError, match="Wide: where the check runs on"):
        lay_cloth((half, wide), cloth, QUICK, matches=matches)
