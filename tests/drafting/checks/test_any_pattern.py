"""The bench check takes whatever can be read, and says the same thing twice over."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests import strategies
from tests.drafting.checks.making import pattern, piece, seam
from tests.drawing import draws
from tiler.drafting.checks import check, inspect
from tiler.drafting.draft import drafted
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lay, Outline, Pattern, Role, Seam
from tiler.pattern.path import circle
from tiler.pattern.wishes import EdgeName
from tiler.sheets.finding import draw_fault, draw_overview


@st.composite
def with_seams(draw: st.DrawFn) -> Pattern:
    """A random pattern with random edges of it declared in seams."""
    whole = draw(strategies.patterns())
    names = [
        EdgeName(each.name, edge.letter) for each in whole.pieces for edge in each.outlines[0].edges
    ]
    sides = st.lists(st.sampled_from(names), min_size=1, max_size=3).map(tuple)
    seams = draw(st.lists(st.builds(Seam, sides, sides), max_size=4))
    return replace(whole, seams=tuple(seams), traced_stretch=draw(st.none() | st.floats(0, 1)))


@given(with_seams())
@draws(20)
def test_every_finding_is_whole_and_can_be_drawn(whole: Pattern) -> None:
    try:
        made = drafted(whole)
    except PatternError:
        # An allowance that does not fit a random outline is refused before any check.
        assume(False)
    found = inspect(made)
    assert found.faults == inspect(made).faults
    for number, fault in enumerate(found.faults, start=1):
        assert fault.text
        assert fault.remedy
        assert fault.subject
        assert all(math.isfinite(value) for value in fault.numbers.values())
        names = {each.name for each in made.pieces}
        assert {spot.piece for spot in fault.spots} <= names
        page = draw_fault(fault, made, number)
        assert 0 < page.height < 5000
    assert draw_overview(found.faults, made).height > 0


def test_a_round_piece_of_one_edge_is_sewn_to_a_band() -> None:
    """A circle of radius 80 by four cubics is 0.014 % longer than 2 pi 80."""
    path = circle(Point(100, 100), 80).reversed()
    ring = Outline(Role.STITCH, (Edge("A", path),))
    cut = Outline(Role.CUT, (Edge("A", circle(Point(100, 100), 95).reversed()),))
    crown = replace(piece("Crown", [(0, 0), (0, 9), (9, 9), (9, 0)]), outlines=(cut,),
                    stitch=(ring,))  # fmt: skip
    around = 2 * math.pi * 80
    band = piece("Band", [(0, 0), (0, 60), (around + 5, 60), (around + 5, 0)])
    whole = pattern(crown, band, seams=[seam("Crown.A", "Band.D")])
    (fault,) = [fault for fault in check(whole) if fault.code == "seam-length"]
    assert fault.numbers["off_mm"] == pytest.approx(5, abs=0.1)


def test_nothing_is_found_on_two_boxes_that_fit() -> None:
    boxes = [piece(name, [(0, 0), (0, 300), (200, 300), (200, 0)]) for name in ("One", "Two")]
    boxes = [replace(b, cuts=(replace(b.cuts[0], lay=Lay.COPIES),)) for b in boxes]
    joins = [seam(f"One.{x}", f"Two.{x}") for x in "ABCD"]
    assert {fault.code for fault in check(pattern(*boxes, seams=joins))} == {"piece-twice"}
