"""How much smaller a garment of cloth that stretches may be than the body.

Cloth of length L reaches L (1 + s), so the largest share is 1 - 1 / (1 + s): 20 % for a stretch of
25 %, 33.3 % for 50 %. (A body of 900 needs a knit of 820 to stretch by 9.8 %.)
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drafting.checks.making import pattern, piece
from tiler.drafting.checks import check
from tiler.drafting.checks.stretch import negative_ease
from tiler.pattern.model import Cut, Lay, Severity

BOX = [(0, 0), (0, 300), (200, 300), (200, 0)]


@pytest.mark.parametrize(
    ("stretch", "share"), [(0, 0), (0.25, 0.2), (0.5, 1 / 3), (900 / 820 - 1, 80 / 900)]
)
def test_handbook_values(stretch: float, share: float) -> None:
    assert negative_ease(stretch) == pytest.approx(share)


@given(st.floats(0, 3))
def test_stretched_to_its_limit_the_smallest_garment_is_as_wide_as_the_body(s: float) -> None:
    assert (1 - negative_ease(s)) * (1 + s) == pytest.approx(1)


def codes(traced: float | None, cloth: float | None) -> list[tuple[str, Severity]]:
    made = replace(
        pattern(piece("Front", BOX)),
        traced_stretch=traced,
        cloth_stretch=() if cloth is None else (("main", cloth),),
    )
    return [(f.code, f.severity) for f in check(made) if f.code.startswith("stretch")]


@pytest.mark.parametrize(
    ("traced", "cloth", "told"),
    [
        (None, None, []),
        (0.0, 0.0, []),
        (0.25, 0.25, []),
        (0.25, 0.22, []),
        (0.25, 0.0, [("stretch-missing", Severity.ERROR)]),
        (0.5, 0.25, [("stretch-missing", Severity.ERROR)]),
        (0.0, 0.25, [("stretch-added", Severity.WARNING)]),
        (0.25, None, [("stretch-unsaid", Severity.NOTE)]),
        (None, 0.25, [("stretch-unsaid", Severity.NOTE)]),
    ],
)
def test_cloths_are_compared(
    traced: float | None, cloth: float | None, told: list[tuple[str, Severity]]
) -> None:
    assert codes(traced, cloth) == told


def test_interfacing_need_not_stretch() -> None:
    front = piece("Front", BOX, cut=Cut(1, "fusible interfacing", Lay.COPIES))
    made = replace(
        pattern(front), traced_stretch=0.25, cloth_stretch=(("fusible interfacing", 0.0),)
    )
    assert not [f for f in check(made) if f.code.startswith("stretch")]
