"""Units pressed on to fewer pages: where they overlap least, and a page less if there is one."""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np
import pytest

from tests.layout.packing.sample_shapes import PITCH, polygon, rectangle
from tiler.layout.packing.insert import Meter
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.options import Packing
from tiler.layout.packing.press import PART, Floor, Lie, overlap, smooth
from tiler.layout.packing.room import Spot, cells_of
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.squeeze import Squeeze
from tiler.layout.packing.stamp import Stamp
from tiler.layout.packing.stamps import Attempt, finer, stamped

PAST = (0.6, 0.6)
KITE = [(0.0, 60.0), (45.0, 150.0), (90.0, 60.0), (45.0, 0.0)]


def _drawn(
    shapes: list[Shape], packing: Packing
) -> tuple[Lattice, list[list[Stamp]], tuple[Lattice, Callable[[int, int], Stamp]]]:
    attempt = Attempt(0.4)
    lattice, stamps = stamped(shapes, PITCH, PAST, packing, attempt)
    return lattice, stamps, finer(shapes, PAST, packing, attempt, lattice, stamps)


def test_smooth_lengths_are_the_next_number_of_twos_threes_and_fives() -> None:
    """The 5-smooth numbers up to 60 (OEIS A051037), from memory."""
    known = [1, 2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 16, 18, 20, 24, 25, 27, 30, 32, 36, 40, 45, 48]
    known += [50, 54, 60]
    for least in range(1, 61):
        assert smooth(least) == min(number for number in known if number >= least)


def test_a_unit_goes_where_it_overlaps_least() -> None:
    """Judged by laying the masks over one another at every place, pixel by pixel."""
    shapes = [polygon(0, KITE), rectangle(1, 120, 70), rectangle(2, 100, 180)]
    lattice, stamps, _ = _drawn(shapes, Packing("quick"))
    lies = [Lie(0, 3, 2), Lie(0, 1, 1), Lie(0, 6, 4)]
    weights = np.array([0.0, 3.0 * PART, 1.0 * PART])
    floor = Floor(
        lattice,
        frozenset({(0, 0)}),
        lies,
        [0],
        lambda unit, number: stamps[unit][number],
        Meter(),
    )

    def cost(lie: Lie) -> float:
        claimed = np.zeros((2 * lattice.height, 2 * lattice.width))
        for unit in (1, 2):
            mask, at = stamps[unit][0].mask, lies[unit]
            rows, columns = mask.shape
            claimed[at.row : at.row + rows, at.column : at.column + columns] += weights[unit] * mask
        mask = stamps[0][lie.stamp].mask
        rows, columns = mask.shape
        return float(
            (claimed[lie.row : lie.row + rows, lie.column : lie.column + columns] * mask).sum()
        )

    turns = range(len(stamps[0]))
    everywhere = [
        Lie(turn, row, column)
        for turn in turns
        for row in range(lattice.ny)
        for column in range(lattice.nx)
        if cells_of(stamps[0][turn], row, column, lattice) == [(0, 0)]
    ]
    assert floor.move(0, weights, turns, random.Random(3))
    best = floor.lies[0]
    assert best in everywhere
    assert cost(best) == min(cost(lie) for lie in everywhere)
    shared = sum(
        weights[u] * overlap(stamps[0][best.stamp], best, stamps[u][0], lies[u]) for u in (1, 2)
    )
    assert shared == cost(best)


def test_a_unit_that_no_allowed_cell_holds_has_no_place() -> None:
    shapes = [rectangle(0, 170, 400), rectangle(1, 50, 50)]
    lattice, stamps, _ = _drawn(shapes, Packing("quick"))
    floor = Floor(
        lattice, frozenset({(0, 0)}), [Lie(0, 0, 0), Lie(0, 0, 0)], [0],
        lambda unit, number: stamps[unit][number], Meter(),
    )  # fmt: skip
    assert not floor.move(0, np.ones(2), range(len(stamps[0])), random.Random(3))
    assert floor.lies[0] == Lie(0, 0, 0)


def _pressed(level: int) -> tuple[int, list[Spot], set[tuple[int, int]]]:
    """What becomes of two triangles on a page each: lattice, places, pages."""
    triangle = [(0.0, 0.0), (0.0, 245.0), (160.0, 0.0)]
    shapes = [polygon(k, triangle) for k in range(2)]
    lattice, stamps, (fine, draw) = _drawn(shapes, Packing("normal"))
    lattices = lattice, fine

    def drawn(unit: int, number: int, level: int) -> Stamp:
        return draw(unit, number) if level else stamps[unit][number]

    turns = [len(each) for each in stamps]
    squeeze = Squeeze(lattices, turns, drawn, random.Random(1), Meter())
    start = [Spot(0, 0, 0), Spot(0, 0, lattices[level].nx)]
    found = next(filter(None, (squeeze.work(level, start) for _ in range(60))))
    on, spots = found
    cells = {
        cell
        for unit, spot in enumerate(spots)
        for cell in cells_of(drawn(unit, spot.stamp, on), spot.row, spot.column, lattices[on])
    }
    return on, spots, cells


@pytest.mark.parametrize("level", [0, 1])
def test_a_page_that_can_be_spared_is_spared(level: int) -> None:
    """Two triangles that make a rectangle of 160 x 245 mm fit one page of 180 x 267 mm.

    The gap square to the diagonal makes it longer and wider by 4 mm / cosine and sine.
    """
    assert len(_pressed(level)[2]) == 1


def test_a_page_with_no_other_page_near_it_cannot_be_spared(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is worked at together is bounded; here it is the page alone that is taken away."""
    monkeypatch.setattr("tiler.layout.packing.squeeze._MOST", (1, 1))
    lattice, stamps, (fine, _) = _drawn([rectangle(k, 50, 50) for k in range(2)], Packing("quick"))
    turns = [len(each) for each in stamps]

    def drawn(unit: int, number: int, _level: int) -> Stamp:
        return stamps[unit][number]

    squeeze = Squeeze((lattice, fine), turns, drawn, random.Random(1), Meter())
    apart = [Spot(0, 0, 0), Spot(0, 0, lattice.nx)]
    assert [squeeze.work(0, apart) for _ in range(20)] == [None] * 20


def test_the_same_chance_gives_the_same_places() -> None:
    assert _pressed(0) == _pressed(0)


def test_finer_pixels_cover_no_more_cells_from_the_same_place() -> None:
    """Each pixel is cut into four, so a unit touches a part of what it touched before."""
    shapes = [polygon(0, KITE), rectangle(1, 300, 90)]
    lattice, stamps, (fine, draw) = _drawn(shapes, Packing("normal"))
    assert (fine.nx, fine.ny) == (2 * lattice.nx, 2 * lattice.ny)
    for unit, each in enumerate(stamps):
        for number, stamp in enumerate(each):
            twin = draw(unit, number)
            assert twin.at.e == pytest.approx(stamp.at.e, abs=1e-9)
            assert twin.at.f == pytest.approx(stamp.at.f, abs=1e-9)
            places = [(0, 0)] if stamp.alone else [(0, 0), (5, 7), (20, 33)]
            for row, column in places:
                coarse = set(cells_of(stamp, row, column, lattice))
                assert set(cells_of(twin, 2 * row, 2 * column, fine)) <= coarse
