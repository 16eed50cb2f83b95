"""What holds for every result: rigid, apart, exact, the same again, and as asked."""

from __future__ import annotations

import hashlib
import importlib
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drawing import draws
from tests.layout.packing.sample_shapes import (
    PITCH,
    WINDOW,
    cells_by_clipping,
    least_distance,
    polygon,
    rectangle,
)
from tiler.layout.packing.engine import Packed, pack
from tiler.layout.packing.options import Packing
from tiler.layout.packing.shape import Shape

QUICK = Packing(effort="quick", gap=8.0)


@st.composite
def sets(draw: st.DrawFn) -> list[Shape]:
    """One to seven star-shaped outlines from 40 to 700 mm long."""
    shapes = []
    for index in range(draw(st.integers(1, 7))):
        seed = draw(st.integers(0, 2**32 - 1))
        rng = np.random.Generator(np.random.PCG64(seed))
        angles = np.sort(rng.uniform(0, 2 * np.pi, 9)) + np.arange(9) * 1e-3
        reach = rng.uniform(0.4, 1.0, 9)
        wide, high = rng.uniform(40, 250), rng.uniform(40, 350)
        points = [
            (float(wide * r * np.cos(a)), float(high * r * np.sin(a)))
            for a, r in zip(angles, reach, strict=True)
        ]
        shapes.append(polygon(index, points))
    return shapes


@draws(4)
@given(sets())
def test_units_are_moved_rigidly_keep_their_distance_and_ink_what_is_said(
    shapes: list[Shape],
) -> None:
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert least_distance(shapes, packed) >= 7.9
    everything: set[tuple[int, int]] = set()
    for number, (shape, at) in enumerate(zip(shapes, packed.at, strict=True)):
        assert at.determinant == pytest.approx(1, abs=1e-12)
        assert at.a == pytest.approx(at.d, abs=1e-12)
        assert at.b == pytest.approx(-at.c, abs=1e-12)
        # Shapely clips the lines: deep in a cell they are always told, outside it by no more than
        # the 0.6 mm that outer pages show and the 0.05 mm that a line may be from its chords.
        deep = cells_by_clipping(shape, packed, number, 0.65)
        touched = cells_by_clipping(shape, packed, number, -0.06)
        assert deep <= packed.cells[number] <= touched
        everything |= packed.cells[number]
    assert packed.pages == len(everything)


def _told(packed: Packed) -> str:
    text = repr((packed.at, [sorted(cells) for cells in packed.cells], packed.pages))
    return hashlib.sha256(text.encode()).hexdigest()


def _mixed(group: int = -1) -> list[Shape]:
    sizes = [(300, 420), (90, 500), (170, 120), (120, 110), (60, 180), (210, 90)]
    return [rectangle(k, w, h, group=group if k < 3 else -1) for k, (w, h) in enumerate(sizes)]


def test_more_effort_never_gives_more_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Here the longer searches may take no step at all, which is the worst luck that there is."""
    quick = pack(_mixed(), PITCH, WINDOW, QUICK)
    monkeypatch.setattr("tiler.layout.packing.workers.SEARCHES", {"quick": 1, "normal": 1})
    for name in ("hunt", "engine"):
        monkeypatch.setitem(
            importlib.import_module(f"tiler.layout.packing.{name}").BUDGET, "normal", 1.0
        )
    shares: list[float] = []
    normal = pack(
        _mixed(),
        PITCH,
        WINDOW,
        Packing(effort="normal", gap=8.0),
        lambda _pages, share: shares.append(share),
    )
    assert normal.pages <= quick.pages
    assert shares == sorted(shares)
    assert 0 < shares[-1] <= 1


def test_the_same_input_gives_the_same_bytes_in_every_process() -> None:
    code = (
        "from tests.layout.packing.test_promises import _mixed, _told, pack, PITCH, WINDOW, QUICK;"
        "print(_told(pack(_mixed(), PITCH, WINDOW, QUICK)))"
    )
    root = Path(__file__).parents[3]
    told = set()
    for seed in ("0", "7"):
        surroundings = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(root)}
        done = subprocess.run(
            [sys.executable, "-c", code],
            env=surroundings,
            cwd=root,
            check=True,
            capture_output=True,
            text=True,
        )
        told.add(done.stdout.strip())
    told.add(_told(pack(_mixed(), PITCH, WINDOW, QUICK)))
    assert len(told) == 1


def test_numpy_s_own_chance_is_left_alone() -> None:
    np.random.seed(5)
    expected = np.random.random()
    np.random.seed(5)
    pack(_mixed(), PITCH, WINDOW, QUICK)
    assert np.random.random() == expected


def test_without_turning_units_stay_as_drawn() -> None:
    packed = pack(_mixed(), PITCH, WINDOW, Packing("quick", turn=False))
    for at in packed.at:
        assert (at.a, at.b, at.c, at.d) == (1.0, 0.0, 0.0, 1.0)


def test_small_units_stay_whole_when_asked() -> None:
    shapes = [rectangle(k, 150, 110) for k in range(5)]
    packed = pack(shapes, PITCH, WINDOW, Packing("quick", small_whole=True))
    assert all(len(cells) == 1 for cells in packed.cells)
    # 110 + 8 + 110 mm fit the height of a page, 267 mm.
    assert packed.pages == 3


def test_a_unit_that_must_be_whole_is() -> None:
    shapes = [rectangle(0, 300, 420), rectangle(1, 170, 120, whole=True), rectangle(2, 90, 90)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert len(packed.cells[1]) == 1


def test_units_kept_together_share_pages() -> None:
    shapes = _mixed(group=4)
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    first, second, third = packed.cells[:3]
    shared = [bool(first & second), bool(first & third), bool(second & third)]
    assert sum(shared) >= 2


@pytest.mark.parametrize(
    ("pitch", "size"),
    [((118.0, 180.0), 300.0), ((811.0, 1159.0), 900.0), ((180.0, 267.0), 3000.0)],
    ids=["A5", "A0", "3 m"],
)
def test_other_papers_and_very_large_units(pitch: tuple[float, float], size: float) -> None:
    shapes = [rectangle(0, size, size / 3), rectangle(1, size / 4, size / 5), rectangle(2, 60, 40)]
    window = (pitch[0] + 3.2, pitch[1] + 3.2)
    packed = pack(shapes, pitch, window, QUICK)
    assert least_distance(shapes, packed) >= 7.9
    # Never more than the units would take one by one, as drawn, from a corner of their own.
    alone = sum(
        -int(-s.body.bounds[2] // pitch[0]) * -int(-s.body.bounds[3] // pitch[1]) for s in shapes
    )
    assert packed.pages <= alone
