"""A wrong number is refused, and the right one is suspected."""

from __future__ import annotations

import re

import numpy as np
import pytest

from tests.layout.mats.simulated import GRID, MIDDLES, Projector, measured, projectors
from tiler.layout.mats import slips
from tiler.layout.mats.blame import suspects, to_name
from tiler.layout.mats.lengths import DIAGONALS, NEEDED, SIDES, SPOKEN
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.measured import measured as lay
from tiler.layout.mats.quadrilateral import misfits, most_misfit, nearest_quadrilateral
from tiler.pattern.errors import ProjectionError

MAT = Mat("floor", 1920, 1080, 1200, 700)
ASPECT = 1000 / 1840
Shares = tuple[float, float, float]


def _shares(
    names: tuple[str, ...], by: float, offset: float, middles: bool, count: int, seed: int = 11
) -> Shares:
    """One number of each picture is off by so much; noise is 1 mm.

    Returns:
        How often the pictures are refused, and how often the right number is first, and is named.
    """
    rng = np.random.default_rng(seed + 1000)
    refused = first = named = 0
    for projector in projectors(seed, count, offset):
        true = measured(projector.onto(GRID), projector.onto(MIDDLES) if middles else None)
        said = {name: length + rng.normal() for name, length in true.items()}
        wrong = str(rng.choice(names))
        said[wrong] += by * rng.choice([-1, 1])
        refused += not nearest_quadrilateral(said).fits(1.0)
        ranked = suspects(said, 1.0, ASPECT)
        first += ranked[0].names == (wrong,)
        named += any(suspect.names == (wrong,) for suspect in to_name(ranked)[:3])
    return refused / count, first / count, named / count


@pytest.mark.parametrize("offset", [0.0, 0.6])
def test_a_diagonal_mistyped_by_20_mm_is_always_refused(offset: float) -> None:
    """Keystone up to 25 degrees, six lengths, noise 1 mm: every one of 400 pictures."""
    rng = np.random.default_rng(1012)
    true = [list(measured(p.onto(GRID)).values()) for p in projectors(12, 400, offset)]
    said = np.array(true) + rng.normal(size=(400, 6))
    wrong = rng.integers(4, 6, 400)
    said[np.arange(400), wrong] += 20 * rng.choice([-1, 1], 400)
    assert misfits(NEEDED, said).min() > most_misfit(1.0, 1)


@pytest.mark.parametrize(
    ("names", "by", "offset", "middles", "first", "named"),
    [
        (DIAGONALS, 20, 0.0, False, 0.7, 0.9),
        (DIAGONALS, 20, 0.6, True, 0.7, 0.9),
        (SIDES, 30, 0.0, True, 0.8, 0.9),
    ],
    ids=["six lengths", "eight lengths, lens offset", "a side, eight lengths"],
)
def test_the_wrong_number_is_named(
    names: tuple[str, ...], by: float, offset: float, middles: bool, first: float, named: float
) -> None:
    """A lens offset that nobody knows leaves six lengths little to tell by; eight are enough."""
    refused, at_first, among = _shares(names, by, offset, middles, 12)
    assert refused == 1
    assert at_first >= first
    assert among >= named


def test_the_message_names_a_diagonal_that_is_off_by_20_mm_among_all_that_it_says() -> None:
    """Six lengths, keystone up to 25 degrees, noise 1 mm; few of six numbers are called likely."""
    rng = np.random.default_rng(1013)
    said_likely = []
    for projector in projectors(13, 40):
        said = {k: v + rng.normal() for k, v in measured(projector.onto(GRID)).items()}
        wrong = str(rng.choice(DIAGONALS))
        said[wrong] += 20 * rng.choice([-1, 1])
        with pytest.raises(ProjectionError) as refused:
            lay(MAT, said)
        accused, _, _ = refused.value.problem.partition("Less likely")
        assert SPOKEN[wrong] in refused.value.problem
        said_likely.append(sum(SPOKEN[name] in accused for name in NEEDED))
    assert np.mean(said_likely) < 2.5


def test_what_would_fit_is_near_the_truth() -> None:
    true = measured(Projector(about_x=8, about_y=-5).onto(GRID))
    ranked = suspects({**true, "rising": true["rising"] + 20}, 1.0, ASPECT)
    assert ranked[0].names == ("rising",)
    assert ranked[0].fits == pytest.approx(true["rising"], abs=3 * ranked[0].spread)
    assert sum(suspect.likely for suspect in ranked) == pytest.approx(1)


def test_the_message_names_the_number_and_says_what_would_fit() -> None:
    true = {k: round(v) for k, v in measured(Projector(about_x=3).onto(GRID)).items()}
    with pytest.raises(ProjectionError) as refused:
        lay(MAT, {**true, "rising": true["rising"] + 20})
    assert "Most likely the rising diagonal is wrong" in str(refused.value)
    fits = re.search(r"about (\d+) mm", str(refused.value))
    assert fits is not None
    assert int(fits[1]) == pytest.approx(true["rising"], abs=3)


@pytest.mark.parametrize("name", [*SIDES, *DIAGONALS])
@pytest.mark.parametrize("slip", ["a figure too many", "a figure too few", "three sides"])
def test_a_number_that_breaks_a_triangle_is_named(name: str, slip: str) -> None:
    """A side longer than the way round the other sides, or a figure typed twice or lost."""
    true = measured(Projector(about_x=4, about_y=3).onto(GRID))
    wrong = {
        "a figure too many": true[name] * 10,
        "a figure too few": true[name] / 10,
        "three sides": 1.05 * sum(true[side] for side in SIDES if side != name),
    }[slip]
    with pytest.raises(ProjectionError) as refused:
        lay(MAT, {**true, name: wrong})
    kind = "diagonal" if name in DIAGONALS else "side"
    assert f"Most likely the {name} {kind} is wrong" in str(refused.value)


@pytest.mark.parametrize("name", [*SIDES, *DIAGONALS])
@pytest.mark.parametrize("length", [1e-9, 1.0, 1e6, 1e300])
def test_an_absurd_number_is_named_at_once(name: str, length: float) -> None:
    true = measured(Projector(about_x=4, about_y=3).onto(GRID))
    with pytest.raises(ProjectionError, match=f"the {name} .* is wrong"):
        lay(MAT, {**true, name: length})


def test_no_numbers_at_all_make_the_search_fail() -> None:
    """Numbers drawn at random, within the range of a room."""
    rng = np.random.default_rng(41)
    for _ in range(6):
        lengths = rng.uniform(150, 2200, 6)
        with pytest.raises(ProjectionError):
            lay(MAT, dict(zip(NEEDED, map(float, lengths), strict=True)))


def test_numbers_that_have_changed_places_are_found() -> None:
    true = measured(Projector(about_x=4).onto(GRID), Projector(about_x=4).onto(MIDDLES))
    said = {**true, "right": true["rising"], "rising": true["right"]}
    with pytest.raises(ProjectionError, match="the right side and the rising diagonal have chan"):
        lay(MAT, said)


@pytest.mark.parametrize(
    ("times", "said"), [(0.1, "too small"), (10, "too large"), (1 / 25.4, "too small")]
)
def test_a_unit_that_was_mistaken_everywhere_is_asked_for(times: float, said: str) -> None:
    true = measured(Projector().onto(GRID))
    with pytest.raises(ProjectionError, match=said) as refused:
        lay(MAT, {name: length * times for name, length in true.items()})
    assert "unit" in refused.value.remedy


def test_sides_taken_for_each_other_all_round_are_no_picture_of_these_pixels() -> None:
    true = measured(Projector().onto(GRID))
    turned = dict(zip(SIDES, [true[name] for name in (*SIDES[1:], "lower")], strict=True))
    with pytest.raises(ProjectionError, match="not the shape of 1920 x 1080"):
        lay(MAT, {**true, **turned})


def test_too_strong_a_keystone_is_refused() -> None:
    """60 degrees: pixels at the far end are several times as long as at the near end."""
    far = Projector(throw=1.2, about_y=38).onto(GRID)
    with pytest.raises(ProjectionError, match="times as large") as refused:
        lay(MAT, measured(far * 1000 / np.hypot(*(far[1] - far[0]))))
    assert "squarely" in refused.value.remedy


def test_a_mark_misread_is_likelier_than_any_number() -> None:
    """Common practice, no source: people are off by a whole mark, or swap two figures."""
    assert slips.likelihood(1397, 1377, 2) > slips.likelihood(1392, 1377, 2) > -20
    assert slips.likelihood(1737, 1377, 2) > slips.likelihood(1727, 1377, 2)
    assert slips.likelihood(137.7, 1377, 2) > slips.likelihood(150.0, 1377, 2)
