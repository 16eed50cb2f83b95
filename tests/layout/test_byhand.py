"""Moving a piece on the pages by hand: pages are counted anew, and nothing else changes."""

from __future__ import annotations

import time
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.demos import pattern_of_demo, plan_of
from tests.layout.byhand import (
    A4,
    QUICK,
    apart,
    body_of,
    check_pages,
    laid_apart,
)
from tests.strategies import lengths, pattern_of, rectangular
from tiler.layout.byhand import kept_places, move_by_hand, units_on
from tiler.layout.crowding import Lain
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.relaying import relaid
from tiler.layout.spots import Spot, cell_named, laid, middle_of, spots_of
from tiler.layout.strip.pages import on_sheets
from tiler.layout.tiles import Cell, PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Point
from tiler.pattern.errors import PaperError, PatternError

few = settings(max_examples=12, deadline=None)
shifts = lengths(-700, 700)
turns = st.sampled_from((0.0, 90.0, 180.0)) | st.integers(-180_000, 180_000).map(lambda n: n / 1000)


def middle(plan: Plan, piece: str) -> Point:
    lying = next(each for each in plan.placements if each.piece.name == piece)
    return lying.at(middle_of([lying.piece]))


def units_and_sheets(plan: Plan) -> dict[str, int]:
    """Name of each piece -> the number of its sheet."""
    units = units_on(plan, apart())
    return {unit[0].name: s.sheet for unit, s in zip(units, spots_of(plan, units), strict=True)}


class TestPages:
    """The pages are those that are needed where the pieces lie now."""

    @pytest.mark.parametrize("demo", ["hat", "smock"])
    def test_a_plan_that_is_only_rounded_keeps_its_pages(self, demo: str) -> None:
        pattern, plan = pattern_of_demo(demo), plan_of(demo, "a4")
        rounded = move_by_hand(plan, pattern, pattern.pieces[0].name)
        assert rounded.cells == plan.cells
        for one, other in zip(plan.placements, rounded.placements, strict=True):
            for corner in one.piece.bounds.corners():
                assert one.at(corner).to(other.at(corner)) < 0.05

    @few
    @given(shifts, shifts, turns)
    def test_the_count_is_that_of_the_windows_with_ink(
        self, x: float, y: float, turn: float
    ) -> None:
        plan = move_by_hand(laid_apart(), apart(), "Front", x, y, turn)
        check_pages(plan, apart())
        check_pages(move_by_hand(plan, apart(), "Tab", -y, x, 30), apart())

    @pytest.mark.parametrize(("x", "y"), [(310.0, 180.0), (-45.5, -120.0), (60.0, 0.0)])
    def test_the_smock_is_counted_right(self, x: float, y: float) -> None:
        pattern = pattern_of_demo("smock")
        check_pages(move_by_hand(plan_of("smock", "a4"), pattern, "Sleeve", x, y, 12.5), pattern)

    @settings(few, max_examples=6)
    @given(lengths(-90, 90), lengths(-90, 90))
    def test_there_and_back_is_where_it_was(self, x: float, y: float) -> None:
        pattern = pattern_of_demo("smock")
        before = move_by_hand(plan_of("smock", "a4"), pattern, "Front")
        there = move_by_hand(before, pattern, "Patch pocket", x, y, 15)
        if len(there.sheets) > 1:
            return
        # Pages to the left or below that are new or gone shift all others on the plan.
        assert move_by_hand(there, pattern, "Patch pocket", -x, -y, -15) == before

    def test_what_leaves_all_pages_of_the_others_is_a_sheet_of_its_own(self) -> None:
        pattern = pattern_of_demo("smock")
        plan = move_by_hand(plan_of("smock", "a4"), pattern, "Seed pocket", -3000.0, 0.0)
        assert len(plan.sheets) == 2
        assert sorted(len(cells) for cells in plan.sheets)[0] <= 4

    def test_what_is_laid_on_another_sheet_belongs_to_it(self) -> None:
        pattern = pattern_of_demo("smock")
        away = move_by_hand(plan_of("smock", "a4"), pattern, "Seed pocket", -3000.0, 0.0)
        to, here = middle(away, "Sleeve"), middle(away, "Seed pocket")
        back = move_by_hand(away, pattern, "Seed pocket", to.x - here.x, to.y - here.y)
        assert len(back.sheets) == 1
        assert middle(back, "Seed pocket").to(middle(back, "Sleeve")) < 0.02

    def test_between_two_sheets_it_belongs_to_the_one_on_which_most_of_it_lies(self) -> None:
        away = move_by_hand(laid_apart(), apart(), "Back", -3000.0)
        upper, lower = (away.grid.bounds_of_block(block) for block in away.grid.blocks)
        lying = next(each for each in away.placements if each.piece.name == "Tab")
        box = lying.piece.bounds.moved(lying.at)
        for low in (upper.bottom - 30, lower.top - 60):
            plan = move_by_hand(away, apart(), "Tab", lower.left - box.left + 30, low - box.bottom)
            on = units_and_sheets(plan)
            assert on["Tab"] == (on["Front"] if low == upper.bottom - 30 else on["Back"])

    def test_it_takes_less_than_a_tenth_of_a_second(self) -> None:
        """It runs while somebody drags; the best of three, for other work runs beside it."""
        pattern, plan, took = pattern_of_demo("smock"), plan_of("smock", "a4"), []
        for number in range(3):
            start = time.process_time()
            moved = move_by_hand(plan, pattern, "Sleeve", 30.0 * number, 20, 5)
            Lain(moved, units_on(moved, pattern)).close(4.0)
            took.append(time.process_time() - start)
        assert min(took) < 0.1


class TestPieces:
    """What moves is what was taken hold of."""

    @few
    @given(lengths(-80, 80), lengths(-80, 80), turns)
    def test_the_middle_moves_as_far_as_asked_against_the_others(
        self, x: float, y: float, turn: float
    ) -> None:
        before = move_by_hand(laid_apart(), apart(), "Tab")
        after = move_by_hand(before, apart(), "Tab", x, y, turn)
        own, other = ([middle(plan, name) for plan in (before, after)] for name in ("Tab", "Front"))
        if (
            before.grid.block_of(before.cells[0]).shift == after.grid.block_of(after.cells[0]).shift
            and len(before.sheets) == len(after.sheets) == 1
        ):
            moved = Point(own[1].x - other[1].x, own[1].y - other[1].y)
            was = Point(own[0].x - other[0].x, own[0].y - other[0].y)
            assert moved.x - was.x == pytest.approx(x, abs=0.006)
            assert moved.y - was.y == pytest.approx(y, abs=0.006)

    def test_joined_pieces_move_as_one(self) -> None:
        pattern = pattern_of_demo("smock")
        plan = move_by_hand(plan_of("smock", "a4"), pattern, "Back neck facing", 20.0, 30.0, 10)
        at = {each.piece.name: each.at for each in plan.placements}
        assert at["Front neck facing"] == at["Back neck facing"]

    def test_no_piece_changes_its_form_or_its_face(self) -> None:
        pattern = pattern_of_demo("smock")
        plan = move_by_hand(plan_of("smock", "a4"), pattern, "Front", 20.0, 30.0, 123.456)
        assert [each.piece for each in plan.placements] == list(pattern.pieces)
        for each in plan.placements:
            assert each.at.determinant == pytest.approx(1, abs=1e-12)

    def test_what_is_not_there_is_refused(self) -> None:
        with pytest.raises(PatternError, match="no piece called 'Hood'"):
            move_by_hand(laid_apart(), apart(), "Hood")
        with pytest.raises(PaperError, match="cannot be moved"):
            move_by_hand(laid_apart(), apart(), "Tab", float("nan"))

    def test_whole_pieces_on_large_paper_are_refused(self) -> None:
        setup = PageSetup(find_paper("a0"))
        plan = on_sheets(apart(), [setup], QUICK, lambda _: 60.0)
        assert plan
        with pytest.raises(PaperError, match="not on rolls or large sheets"):
            move_by_hand(plan, apart(), "Tab", 10)


class TestKept:
    """What is kept gives the same plan to the last digit."""

    @settings(few, max_examples=8)
    @given(
        shifts, shifts, turns, st.sampled_from((A4, PageSetup(find_paper("letter"), margin=9.525)))
    )
    def test_places_that_are_laid_again_give_the_same_plan(
        self, x: float, y: float, turn: float, setup: PageSetup
    ) -> None:
        plan = laid_apart(setup)
        moved = move_by_hand(plan, apart(), "Back", x, y, turn)
        moved = move_by_hand(moved, apart(), "Tab", y, -x, -turn)
        lain = Lain(moved, units_on(moved, apart()))
        if any(pair.over for pair in lain.close(0.0)):
            return
        again = relaid(apart(), setup, kept_places(moved, apart()), QUICK)
        assert again.plan == moved
        assert again.plan.code == moved.code
        assert (again.new, again.gone, again.pushed) == ((), (), ())

    def test_places_are_whole_hundredths_and_thousandths(self) -> None:
        plan = move_by_hand(laid_apart(), apart(), "Front", 1 / 3, 2 / 3, 1 / 7)
        for spot in spots_of(plan, units_on(plan, apart())):
            assert spot.at == (round(spot.at.x, 2), round(spot.at.y, 2))
            assert spot.turn == round(spot.turn, 3)

    @given(st.integers(0, 5000), st.integers(0, 900))
    def test_a_page_is_found_by_its_name(self, row: int, column: int) -> None:
        assert cell_named(Cell(row, column).name) == Cell(row, column)

    def test_a_name_of_no_page_is_refused(self) -> None:
        for name in ("", "2B", "B0", "b2", "B2 "):
            with pytest.raises(ValueError, match="no name of a page"):
                cell_named(name)


class TestCrowding:
    """Pieces that lie over one another, or nearer than the gap."""

    @few
    @given(lengths(-300, 300), lengths(-300, 300), turns)
    def test_who_is_too_near_is_who_shapely_says(self, x: float, y: float, turn: float) -> None:
        plan = move_by_hand(laid_apart(), apart(), "Tab", x, y, turn)
        units = units_on(plan, apart())
        found = {(pair.one, pair.other): pair for pair in Lain(plan, units).close(4.0)}
        for one, other in combinations(range(len(units)), 2):
            bodies = [body_of(plan, units[k][0]) for k in (one, other)]
            distance = bodies[0].distance(bodies[1])
            pair = found.get((one, other))
            if distance < 3.7:
                assert pair
                assert pair.apart == pytest.approx(distance, abs=0.1)
                assert pair.over == (bodies[0].buffer(-0.1).intersects(bodies[1]))
            elif distance > 4.0:
                assert pair is None

    def test_pieces_that_only_touch_do_not_lie_over_one_another(self) -> None:
        plan = move_by_hand(laid_apart(), apart(), "Tab")
        boxes = {each.piece.name: each.piece.bounds.moved(each.at) for each in plan.placements}
        front, tab = boxes["Front"], boxes["Tab"]
        x, y = front.left - tab.left, front.top - tab.top
        inside = move_by_hand(plan, apart(), "Tab", x, y)
        beside = move_by_hand(plan, apart(), "Tab", x, y + tab.height)
        pairs = [
            [
                (pair.one, pair.other, pair.over)
                for pair in Lain(each, units_on(each, apart())).close(0)
            ]
            for each in (inside, beside)
        ]
        assert (0, 2, True) in pairs[0]
        assert not any(over for *_, over in pairs[1])

    def test_pieces_of_different_sheets_are_never_too_near(self) -> None:
        away = move_by_hand(laid_apart(), apart(), "Back", -3000.0)
        pairs = Lain(away, units_on(away, apart())).close(100.0)
        assert [(pair.one, pair.other) for pair in pairs] == [(0, 2)]

    def test_a_side_that_lies_on_a_joint_is_found(self) -> None:
        """The tab is 60 mm wide and 90 mm high; its right side is laid between two pages."""
        plan, pitch = laid_apart(), A4.pitch
        own = spots_of(plan, units_on(plan, apart()))[2].middle(pitch)
        x, y = 2 * pitch[0] - 30 - own.x, -2.5 * pitch[1] - own.y
        on = move_by_hand(plan, apart(), "Tab", x, y)
        beside = move_by_hand(plan, apart(), "Tab", x - 10, y)
        lengths_on = [Lain(each, units_on(each, apart())).along_joints() for each in (on, beside)]
        assert lengths_on[0][2] == pytest.approx(90, abs=0.1)
        assert lengths_on[1][2] == 0

    def test_the_edge_of_a_page_that_is_taped_to_nothing_is_no_joint(self) -> None:
        pattern = pattern_of(*(rectangular(name, 178, 100) for name in ("One", "Two")))
        spots = [Spot(number, Cell(0, 0), Point(90, 150)) for number in (0, 1)]
        plan = laid(pattern, A4, units_of(pattern), spots)
        assert [cell.name for cell in plan.cells] == ["A1", "A2"]
        assert Lain(plan, units_of(pattern)).along_joints() == (0, 0)

    def test_pieces_kept_together_that_share_no_page_are_named(self) -> None:
        pattern, plan = replace(apart(), together=(("Front", "Tab"),)), laid_apart()
        assert not list(Lain(plan, units_on(plan, pattern)).parted(pattern))
        away = move_by_hand(plan, pattern, "Tab", -3000.0)
        assert list(Lain(away, units_on(away, pattern)).parted(pattern)) == [("Front", "Tab")]
