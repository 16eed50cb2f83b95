"""Lines can be told apart in black and white, and the pattern stands out from the page's marks."""

from __future__ import annotations

from itertools import combinations

from tiler.pattern.model import Role
from tiler.sheets.drawing import Pen
from tiler.sheets.pens import (
    BAR,
    CROSS,
    CUT,
    FINE,
    FOLD,
    HAIR,
    PENS,
    STITCH,
    STYLE_DASHES,
    TRIM,
    style_pen,
)

LINES = (Role.CUT, Role.STITCH, Role.FOLD, Role.INSIDE)


def test_every_role_has_a_pen() -> None:
    """No kind of line is forgotten, and none is fainter than black."""
    assert set(PENS) == set(Role)
    assert {pen.grey for pen in PENS.values()} == {0}


def test_long_lines_of_different_meaning_differ_in_their_dashes() -> None:
    """Cut, stitch, fold and placing lines are told apart without colour and width."""
    assert len({PENS[role].dash for role in LINES}) == len(LINES)


def test_the_cut_line_is_solid_and_the_widest() -> None:
    """Scissors follow the strongest line."""
    assert CUT.dash == ()
    assert all(pen.width < CUT.width for role, pen in PENS.items() if role is not Role.CUT)


def test_marks_of_the_page_are_thinner_than_any_pattern_line() -> None:
    """Nobody cuts along a trim line by mistake."""
    thinnest = min(pen.width for pen in PENS.values())
    for pen in (HAIR, FINE, CROSS, TRIM):
        assert pen.width < thinnest
    assert BAR.width <= thinnest


def test_every_style_has_dashes_of_its_own() -> None:
    """As many styles as there are dashes look different from each other and from other lines."""
    order = tuple(f"style {n}" for n in range(len(STYLE_DASHES)))
    pens = [style_pen(CUT, order, style) for style in order]
    for one, other in combinations([*pens, FOLD, STITCH, CUT], 2):
        assert one != other
    assert len({pen.dash for pen in pens}) == len(pens)
    assert {pen.width for pen in pens} == {CUT.width}


def test_lines_that_all_styles_share_keep_their_pen() -> None:
    """Without a style nothing changes; an unknown style and a sixth one still get dashes."""
    assert style_pen(CUT, ("narrow",), "") == CUT
    assert style_pen(CUT, ("narrow",), "other").dash
    many = tuple(f"style {n}" for n in range(12))
    assert all(isinstance(style_pen(CUT, many, style), Pen) for style in many)
