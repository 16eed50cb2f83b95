"""Places and words for darts that no cutter could follow, and what a dart leaves alone.

Outside values: none are needed but the directions of a rectangle's edges.
"""

from __future__ import annotations

import pytest

from tests.drafting.darts.blocks import block
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.draft import drafted
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.wishes import DartWish, GrainWish, Place, Wishes

WHERE = "pattern.toml line 9"


def refused(piece: Piece) -> str:
    with pytest.raises(PatternError) as told:
        with_darts(piece)
    return str(told.value)


def test_a_dart_cannot_open_in_a_fold() -> None:
    dart = DartWish(Place("A", length=150), 80, 20, "B", where=WHERE)
    told = refused(block(Wishes(darts=(dart,))))
    assert told.startswith(f"{WHERE}: edge A lies on the fold")
    with_darts(block(Wishes(darts=(dart,)), fold=False))


@pytest.mark.parametrize("allowance", [15.0, None])
def test_darts_that_are_not_drawn_cannot_be_pressed(allowance: float | None) -> None:
    told = refused(block(Wishes(press_darts="A"), allowance=allowance))
    assert "no drawn dart stands on the stitch line" in told


@pytest.mark.parametrize(
    ("dart", "along", "upright"),
    [
        (DartWish(Place("B", length=100), 80, 20, "A", where=WHERE), "B", False),
        (DartWish(Place("B", length=90), 80, 20, "A", "C", 120, where=WHERE), "C", True),
        (DartWish(Place("B", length=90), 80, 20, "A", "C", 120, where=WHERE), "B", False),
    ],
)
def test_the_grain_follows_the_edge_as_it_was_traced(
    dart: DartWish, along: str, upright: bool
) -> None:
    """A dart in a straight edge, or width given by one, does not turn the cloth."""
    grain = GrainWish(along, where=WHERE)
    piece = block(Wishes(darts=(dart,), grain=grain))
    (made,) = drafted(Pattern("Block", (piece,))).pieces
    assert made.grain is not None
    start, end = made.grain.start, made.grain.end
    off = end.x - start.x if upright else end.y - start.y
    assert off == pytest.approx(0, abs=1e-9)
