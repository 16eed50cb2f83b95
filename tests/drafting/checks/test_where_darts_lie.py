"""Darts at corners, in hems and across one another.

Outside values: by hand, on a box of 300 by 400 with darts 20 wide and 100 long; angles and areas of
triangles.
"""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.drafting.checks.making import Places, dart, pattern, piece
from tiler.drafting.checks import Fault, check
from tiler.pattern.model import Lies, Line, Piece, Severity


def found(made: Piece, code: str) -> list[Fault]:
    return [fault for fault in check(pattern(made)) if fault.code == code]


def box(*darts: Line, lies: dict[str, Lies] | None = None, places: Places | None = None) -> Piece:
    corners = places or [(0, 0), (0, 400), (300, 400), (300, 0)]
    return replace(piece("Front", corners, lies=lies), lines=darts)


def test_a_dart_in_the_middle_of_a_straight_edge_makes_a_hollow() -> None:
    (fault,) = found(box(dart((140, 400), (150, 300), (160, 400))), "dart-kink")
    assert fault.numbers["break_degrees"] == pytest.approx(2 * math.degrees(math.atan(0.1)))


@pytest.mark.parametrize("at", [0, 280])
def test_no_seam_runs_over_a_dart_that_begins_at_a_corner(at: float) -> None:
    """Sewn, it turns the corner by its angle; that is no break of a line."""
    made = box(dart((at, 400), (at + 10, 300), (at + 20, 400)))
    assert not found(made, "dart-kink")


def test_darts_that_touch_are_not_measured_against_each_other() -> None:
    made = box(dart((130, 400), (140, 300), (150, 400)), dart((150, 400), (160, 300), (170, 400)))
    assert not found(made, "dart-kink")
    assert not found(made, "darts-cross")


def test_darts_that_take_in_the_same_cloth_are_told() -> None:
    """Triangles of 1000 mm2, the second shifted by half a mouth: they share one of 10 by 50."""
    made = box(dart((130, 400), (140, 300), (150, 400)), dart((140, 400), (150, 300), (160, 400)))
    (fault,) = found(made, "darts-cross")
    assert fault.severity is Severity.ERROR
    assert fault.numbers == pytest.approx({"common_mm2": 250, "deep_mm": 50})
    assert "(145, 375)" in fault.where


def test_darts_of_different_styles_do_not_cross() -> None:
    one, other = (dart((x, 400), (x + 10, 300), (x + 20, 400)) for x in (130, 140))
    made = box(replace(one, style="narrow"), replace(other, style="wide"))
    assert not found(made, "darts-cross")
    assert found(box(replace(one, style="narrow"), other), "darts-cross")


def test_the_cap_of_a_dart_in_a_hem_does_not_count_as_a_curve() -> None:
    """The hem is straight on either side; its cap is 2.02 high, as the trade draws it."""
    places = [(0, 0), (0, 400), (300, 400), (300, 0), (160, 0), (150, -2.02), (140, 0)]
    flat = piece("Front", places)
    hem = flat.stitch[0].edges[3:]
    segments = tuple(s for edge in hem for s in edge.path.segments)
    whole = replace(hem[0], path=replace(hem[0].path, segments=segments), lies=Lies.HEM)
    ring = replace(flat.stitch[0], edges=(*flat.stitch[0].edges[:3], whole))
    made = replace(flat, stitch=(ring,), lines=(dart((160, 0), (150, 100), (140, 0)),))
    assert not found(made, "hem-curve")
    assert found(replace(made, lines=()), "hem-curve")
