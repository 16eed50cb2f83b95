"""The last step of the packing: off the joints, with less to tape, and never worse."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tests.drawing import draws
from tests.layout.packing.sample_shapes import PITCH, polygon, rectangle
from tiler.layout.ink import moved
from tiler.layout.packing.burden import rails_of
from tiler.layout.packing.exact import inked_cells, pages_of
from tiler.layout.packing.lying import Lying
from tiler.layout.packing.options import Packing
from tiler.layout.packing.polish import polished
from tiler.layout.packing.shape import Shape, shape_of
from tiler.layout.packing.spread import Spread
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine

#: What pages show beyond their cells: the window is 3.2 mm larger than the pitch, less 1 mm rim.
PAST = (0.6, 0.6)
STILL = Packing("normal", turn=False, gap=4)
FREE = Packing("normal", gap=4)


def _bodies(shapes: Sequence[Shape], at: Sequence[Affine]) -> list[BaseGeometry]:
    return [
        affine_transform(shape.body, (m.a, m.c, m.b, m.d, m.e, m.f))
        for shape, m in zip(shapes, at, strict=True)
    ]


def _pages(shapes: Sequence[Shape], at: Sequence[Affine]) -> int:
    return pages_of(inked_cells(shapes, at, PITCH, PAST))


def _sheet_numbers(cells: Sequence[frozenset[tuple[int, int]]]) -> list[int]:
    """Which units share pages, directly or through others."""
    number = list(range(len(cells)))
    for _ in cells:
        for a, b in combinations(range(len(cells)), 2):
            if cells[a] & cells[b]:
                number[a] = number[b] = min(number[a], number[b])
    return number


def _joints(shapes: Sequence[Shape], at: Sequence[Affine]) -> int:
    """Neighbouring pages of one sheet."""
    cells = inked_cells(shapes, at, PITCH, PAST)
    numbers = _sheet_numbers(cells)
    count = 0
    for sheet in set(numbers):
        own = [c for c, n in zip(cells, numbers, strict=True) if n == sheet]
        printed = frozenset().union(*own)
        count += sum(((i + 1, j) in printed) + ((i, j + 1) in printed) for i, j in printed)
    return count


def _along(shapes: Sequence[Shape], at: Sequence[Affine]) -> float:
    """Millimetres of upright or level line less than 4 mm from a joint of its sheet, by shapely."""
    cells = inked_cells(shapes, at, PITCH, PAST)
    numbers = _sheet_numbers(cells)
    total = 0.0
    for unit, (shape, place) in enumerate(zip(shapes, at, strict=True)):
        printed = frozenset().union(
            *(c for c, n in zip(cells, numbers, strict=True) if n == numbers[unit])
        )
        lines = moved(shape.chords, place)
        for i, j in printed:
            left, low = i * PITCH[0], j * PITCH[1]
            right, high = left + PITCH[0], low + PITCH[1]
            if (i + 1, j) in printed:
                total += _upright_in(lines, shapely.box(right - 4, low, right + 4, high), 0)
            if (i, j + 1) in printed:
                total += _upright_in(lines, shapely.box(left, high - 4, right, high + 4), 1)
    return total


def _upright_in(lines: np.ndarray, zone: BaseGeometry, axis: int) -> float:
    kept = [line for line in lines if abs(line[1, axis] - line[0, axis]) < 1e-6]
    if not kept:
        return 0.0
    inside = shapely.MultiLineString([line.tolist() for line in kept]).intersection(zone)
    # What only runs along the border of the zone is exactly 4 mm off.
    return float(inside.difference(zone.boundary.buffer(1e-6)).length)


@st.composite
def lying_units(draw: st.DrawFn) -> tuple[list[Shape], list[Affine]]:
    """One to six rectangles or stars in rows, each turned, at least 4 mm apart."""
    rng = np.random.Generator(np.random.PCG64(draw(st.integers(0, 2**32 - 1))))
    shapes: list[Shape] = []
    at = []
    x = y = high = 0.0
    for index in range(draw(st.integers(1, 6))):
        wide, tall = (float(side) for side in rng.uniform(20, 260, 2))
        if rng.uniform() < 0.6:
            shapes.append(rectangle(index, wide, tall))
        else:
            angles = np.linspace(0, 2 * np.pi, 11)[:-1]
            reach = rng.uniform(0.5, 1, 10) / 2
            points = [
                (float(wide * r * np.cos(a)), float(tall * r * np.sin(a)))
                for a, r in zip(angles, reach, strict=True)
            ]
            shapes.append(polygon(index, points))
        turn = Affine.turn(float(rng.choice([0.0, 90.0, 180.0, rng.uniform(0, 360)])))
        left, bottom, right, top = _bodies([shapes[-1]], [turn])[0].bounds
        if x > 500:
            x, y, high = 0.0, y + high + 4, 0.0
        x += float(rng.uniform(4.0, 40.0))
        at.append(turn.then(Affine.move(x - left, y - bottom + float(rng.uniform(0, 3)))))
        x += right - left
        high = max(high, top - bottom + 3)
    return shapes, at


@draws(10)
@given(lying_units(), st.sampled_from(["quick", "normal"]), st.booleans())
def test_it_is_never_worse_and_units_stay_rigid_and_apart(
    units: tuple[list[Shape], list[Affine]], effort: str, turn: bool
) -> None:
    shapes, at = units
    found = polished(shapes, at, PITCH, PAST, Packing(effort, turn=turn, gap=4))
    before, after = (
        Spread([Lying(s, m) for s, m in zip(shapes, each, strict=True)], PITCH, PAST, 4).burden
        for each in (at, found)
    )
    assert _pages(shapes, found) <= _pages(shapes, at)
    assert after <= before
    assert found == tuple(at) or after < before
    cells = inked_cells(shapes, found, PITCH, PAST)
    numbers = _sheet_numbers(cells)
    placed = _bodies(shapes, found)
    for a, b in combinations(range(len(shapes)), 2):
        if numbers[a] == numbers[b]:
            assert placed[a].distance(placed[b]) >= 3.9
    for old, new in zip(at, found, strict=True):
        assert new.determinant == pytest.approx(1, abs=1e-12)
        assert (new.a, new.b) == pytest.approx((new.d, -new.c), abs=1e-12)
        if not turn:
            assert (new.a, new.b, new.c, new.d) == (old.a, old.b, old.c, old.d)
    assert found == polished(shapes, at, PITCH, PAST, Packing(effort, turn=turn, gap=4))


@draws(10)
@given(lying_units())
def test_units_on_one_page_stay_on_one(units: tuple[list[Shape], list[Affine]]) -> None:
    shapes, at = units
    found = polished(shapes, at, PITCH, PAST, FREE)
    before = inked_cells(shapes, at, PITCH, PAST)
    after = inked_cells(shapes, found, PITCH, PAST)
    assert all(len(b) == 1 for a, b in zip(before, after, strict=True) if len(a) == 1)


@pytest.mark.parametrize("packing", [STILL, FREE, Packing("quick", gap=4)], ids=str)
def test_a_patch_4_mm_over_a_joint_moves_off_it(packing: Packing) -> None:
    # The patch hangs on the large unit's sheet only by the 4 mm that lie on its page.
    shapes = [rectangle(0, 330, 510), rectangle(1, 100, 80)]
    at = [Affine.move(200, 10), Affine.move(84, 50)]
    assert (_pages(shapes, at), _joints(shapes, at)) == (5, 5)
    found = polished(shapes, at, PITCH, PAST, packing)
    # Two by two pages for the large one have four joints; the patch is a sheet of its own.
    assert (_pages(shapes, found), _joints(shapes, found)) == (5, 4)
    assert _along(shapes, found) == 0


@pytest.mark.parametrize("left", [178.0, 180.0, 182.0, 183.5])
@pytest.mark.parametrize("effort", ["quick", "normal"])
def test_an_edge_beside_a_joint_moves_away_from_it(left: float, effort: str) -> None:
    # All are longer than a page and make one sheet of two by two pages; without turning.
    shapes = [rectangle(0, 100, 320), rectangle(1, 340, 150), rectangle(2, 118, 320)]
    at = [Affine.move(10, 10), Affine.move(10, 340), Affine.move(left, 10)]
    # 257 mm of the left edge lie beside the joint of the lower pages, 63 mm beside the upper one.
    assert _along(shapes, at) == pytest.approx(320)
    found = polished(shapes, at, PITCH, PAST, Packing(effort, turn=False, gap=4))
    assert _along(shapes, found) == 0
    assert (_pages(shapes, found), _joints(shapes, found)) == (4, 4)


def test_a_whole_sheet_moves_where_a_line_inside_a_unit_lies_on_a_joint() -> None:
    ring = np.array([(0, 0), (0, 250), (340, 250), (340, 0), (0, 0)], dtype=float)
    chords = np.array([*pairwise(ring), [(171, 20), (171, 220)]])
    shapes = [shape_of(0, chords, [ring])]
    at = [Affine.move(10, 5)]
    # The fold line at 171 + 10 mm is 1 mm from the joint at 180 mm.
    assert _along(shapes, at) == pytest.approx(200)
    found = polished(shapes, at, PITCH, PAST, STILL)
    assert _along(shapes, found) == 0
    assert _pages(shapes, found) == 2


def test_a_unit_in_the_way_is_pushed_along() -> None:
    # A strip and a patch lie side by side, 4 mm apart; 2 mm of the patch are on the next page,
    # and there is room for both only if the strip gives way. A third unit makes it one sheet.
    shapes = [rectangle(0, 40, 200), rectangle(1, 90, 200), rectangle(2, 170, 200)]
    at = [Affine.move(48, 20), Affine.move(92, 20), Affine.move(186.5, 20)]
    found = polished(shapes, at, PITCH, PAST, STILL)
    assert _joints(shapes, at) == 1
    assert (_pages(shapes, found), _joints(shapes, found)) == (2, 0)


@pytest.mark.parametrize("packing", [STILL, FREE], ids=str)
def test_where_nothing_is_gained_nothing_moves(packing: Packing) -> None:
    # 300 x 300 mm needs two by two pages however it lies, and no edge is near a joint.
    shapes = [rectangle(0, 300, 300), rectangle(1, 100, 90), rectangle(2, 60, 40)]
    at = [Affine.move(30, 117), Affine.move(740, 620), Affine.move(920, 20)]
    assert polished(shapes, at, PITCH, PAST, packing) == tuple(at)


def test_a_page_is_saved_where_a_patch_fits_beside_another_unit() -> None:
    # Above the large unit, which ends at 410 mm, its upper pages reach to 534 mm.
    shapes = [rectangle(0, 300, 400), rectangle(1, 100, 80)]
    at = [Affine.move(200, 10), Affine.move(84, 50)]
    assert _pages(shapes, at) == 5
    assert _pages(shapes, polished(shapes, at, PITCH, PAST, STILL)) == 4


def test_an_edge_at_the_outside_of_a_sheet_may_lie_on_the_border_of_its_page() -> None:
    # Nothing is joined there, so nothing is cut away.
    shapes = [rectangle(0, 179, 266)]
    at = [Affine.move(0.5, 0.5)]
    assert polished(shapes, at, PITCH, PAST, FREE) == tuple(at)


def test_units_kept_together_still_share_a_page() -> None:
    def group(number: int) -> list[Shape]:
        return [rectangle(0, 330, 510, group=number), rectangle(1, 100, 80, group=number)]

    at = [Affine.move(200, 10), Affine.move(84, 50)]
    together = inked_cells(group(3), polished(group(3), at, PITCH, PAST, FREE), PITCH, PAST)
    assert together[0] & together[1]
    # The same units, not kept together, part.
    apart = inked_cells(group(-1), polished(group(-1), at, PITCH, PAST, FREE), PITCH, PAST)
    assert not apart[0] & apart[1]


@pytest.mark.parametrize("slant", [0.0, 9.0, 11.0])
def test_lines_run_along_a_joint_up_to_10_degrees(slant: float) -> None:
    run = 20 * math.tan(math.radians(slant))
    rails = rails_of(np.array([[(180 - run / 2, 100), (180 + run / 2, 120)]]))
    printed = frozenset({Cell(-1, 0), Cell(-1, 1)})
    found = rails.along(PITCH, printed)
    # Within the 10 degrees it counts nearly in full, less by the little that it is off the joint.
    length = 20 / math.cos(math.radians(slant))
    assert (0.8 * length <= found <= length + 1e-9) if slant < 10 else found == 0
    # A joint that is not taped has nothing to cut away.
    assert rails.along(PITCH, frozenset({Cell(-1, 0)})) == 0
    # 4 mm away it is clear of the joint.
    assert rails.along(PITCH, printed, (4.0 + run / 2, 0.0)) == 0
