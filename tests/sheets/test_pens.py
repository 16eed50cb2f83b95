"""Lines can be told apart in black and white, and the pattern stands out from the page's marks."""

from __future__ import annotations

from itertools import combinations

from tiler.pattern.model import AND, Role
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
    TICK,
    TRIM,
    line_pen,
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
    for pen in (HAIR, FINE, CROSS, TRIM, TICK):
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


def test_what_some_styles_share_looks_like_none_of_them() -> None:
    """Two or more styles on one line: its dashes are theirs in turn, and those of no other line."""
    order = tuple(f"style {n}" for n in range(len(STYLE_DASHES)))
    keys = [AND.join(pair) for pair in combinations(order, 2)]
    keys += [AND.join(three) for three in combinations(order, 3)]
    dashes = [style_pen(CUT, order, key).dash for key in (*order, *keys)]
    assert len(set(dashes)) == len(dashes)
    assert not {FOLD.dash, STITCH.dash, CUT.dash} & set(dashes)
    # A pattern of dashes is a row of dash and gap (ISO 32000-1, 8.4.3.6).
    assert all(len(dash) % 2 == 0 for dash in dashes)


def test_stitch_lines_of_styles_are_told_apart_and_marks_stay_as_they_are() -> None:
    """A notch or a fold has to be known for one, whosever it is."""
    order = tuple(f"style {n}" for n in range(len(STYLE_DASHES)))
    stitch = [line_pen(Role.STITCH, order, style) for style in ("", *order)]
    assert len(set(stitch)) == len(stitch)
    assert {pen.width for pen in stitch} == {STITCH.width}
    for role in set(Role) - {Role.CUT, Role.STITCH}:
        assert line_pen(role, order, order[0]) == PENS[role]


def test_lines_that_all_styles_share_keep_their_pen() -> None:
    """Without a style nothing changes; an unknown style and a sixth one still get dashes."""
    assert style_pen(CUT, ("narrow",), "") == CUT
    assert style_pen(CUT, ("narrow",), "other").dash
    many = tuple(f"style {n}" for n in range(12))
    assert all(isinstance(style_pen(CUT, many, style), Pen) for style in many)


def test_no_style_has_a_long_dash_and_one_dot() -> None:
    """That is a fold (JIS L 0110, clause 4: one-dot chain), also where it is thin or wide."""
    for dash in (PENS[Role.FOLD].dash, FOLD.dash):
        long, _, dot, _ = dash
        assert dot < long / 4
    for dash in STYLE_DASHES:
        assert not (len(dash) == 4 and dash[2] < dash[0] / 4)
