"""The sense of a seam is found, however its pieces are drawn, turned, mirrored and lettered.

A shirt of straight lines is drawn anew for each example: front and back halves with armholes of
190 and 210, and a sleeve whose head is as long as both together. Lengths and places are known
because they are what the shirt is made of.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drafting.checks.making import dart, notched, pattern, piece, seam
from tiler.drafting.walking.measured import walk_seam
from tiler.drafting.walking.seams import SewnSide, seam_styles, sewn_sides
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Line, Outline, Pattern, Piece, Role, Seam
from tiler.pattern.path import polyline
from tiler.pattern.segment import Straight

LETTERS = "ABCDEFGH"


@dataclass(frozen=True)
class Drawn:
    """How a piece is drawn: mirrored or not, turned, and which corner the letters begin at."""

    mirrored: bool
    turn: float
    first: int


@dataclass(frozen=True)
class Made:
    """A piece and the letters of its edges by what they are."""

    piece: Piece
    letters: Mapping[str, str]


def made(
    name: str,
    corners: Mapping[str, tuple[float, float]],
    lies: Mapping[str, Lies],
    notches: Mapping[str, tuple[float, ...]],
    how: Drawn,
) -> Made:
    """A polygon whose edges are named after the corner that they start from, clockwise.

    Args:
        name: Of the piece.
        corners: Name of the edge that starts there -> corner, clockwise.
        lies: Name of an edge -> what becomes of it.
        notches: Name of an edge -> millimetres from its clockwise start, as listed here.
        how: How it is drawn.
    """
    names, places = list(corners), list(corners.values())
    if how.mirrored:
        # Turned over, clockwise runs the other way: the edge from 1 to 2 now starts at 2.
        places = [(-x, y) for x, y in reversed(places)]
        names = [*reversed(names[:-1]), names[-1]]
    count = len(names)
    first = how.first % count
    names, places = names[first:] + names[:first], places[first:] + places[:first]
    turn = Affine.turn(how.turn)
    letters = dict(zip(names, LETTERS, strict=False))
    drawn = piece(
        name,
        [tuple(turn(Point(*place))) for place in places],
        lies={letters[edge]: kind for edge, kind in lies.items()},
    )
    drawn = replace(drawn, grain=polyline([turn(Point(0, 10)), turn(Point(0, 90))]))
    for edge, at in notches.items():
        ring = drawn.stitch[0].edges
        length = next(e.path.length for e in ring if e.letter == letters[edge])
        drawn = notched(drawn, letters[edge], *((length - d if how.mirrored else d) for d in at))
    return Made(drawn, letters)


HALF = {"fold": Lies.FOLD, "hem": Lies.HEM}
FRONT = {"fold": (0, 0), "neck": (0, 400), "shoulder": (80, 460), "armhole": (200, 420),
         "side": (200, 230), "hem": (200, 0)}  # fmt: skip
BACK = {"fold": (0, 0), "neck": (0, 440), "shoulder": (80, 480), "armhole": (200, 440),
        "side": (200, 230), "hem": (200, 0)}  # fmt: skip

drawings = st.builds(
    Drawn, st.booleans(), st.sampled_from([0, 17, 90, 180, 263.5]), st.integers(0, 5)
)


def sleeve(how: Drawn) -> Made:
    """Its head is a peak of two straight lines of 210 (back) and 190 (front)."""
    wide = 300.0
    x = (210**2 - 190**2 + wide**2) / (2 * wide)
    peak = Point(x, 300 + math.sqrt(210**2 - x**2))
    if how.mirrored:
        start, end, tip = Point(-wide, 300), Point(0, 300), Point(-peak.x, peak.y)
        corners = [(-wide, 0), (-wide, 300), (0, 300), (0, 0)]
        names = ["front underarm", "head", "back underarm", "hem"]
        places = (60.0, 190.0, 330.0)
    else:
        start, end, tip = Point(0, 300), Point(wide, 300), peak
        corners = [(0, 0), (0, 300), (wide, 300), (wide, 0)]
        names = ["back underarm", "head", "front underarm", "hem"]
        places = (70.0, 210.0, 340.0)
    first = how.first % 4
    letters = dict(zip(names[first:] + names[:first], LETTERS, strict=False))
    number = (1 - first) % 4
    drawn = piece(
        "Sleeve",
        corners[first:] + corners[:first],
        curves={number: [Straight(start, tip), Straight(tip, end)]},
        lies={letters["hem"]: Lies.HEM},
    )
    return Made(notched(drawn, letters["head"], *places), letters)


def shirt(front: Drawn, back: Drawn, arm: Drawn) -> tuple[Pattern, dict[str, Made]]:
    pieces = {
        "Front": made("Front", FRONT, HALF, {"armhole": (130,), "side": (80,)}, front),
        "Back": made("Back", BACK, HALF, {"armhole": (140,), "side": (80,)}, back),
        "Sleeve": sleeve(arm),
    }

    def edge(name: str, what: str) -> str:
        return f"{name}.{pieces[name].letters[what]}"

    seams = [
        seam(edge("Front", "shoulder"), edge("Back", "shoulder"), "shoulder"),
        seam(edge("Back", "side"), edge("Front", "side"), "side"),
        seam(edge("Sleeve", "back underarm"), edge("Sleeve", "front underarm"), "underarm"),
        seam(f"{edge('Front', 'armhole')} + {edge('Back', 'armhole')}", edge("Sleeve", "head"),
             "armhole"),
        seam(edge("Front", "neck"), edge("Back", "neck"), "neck, against all custom"),
    ]  # fmt: skip
    whole = pattern(*(each.piece for each in pieces.values()), seams=seams)
    return whole, pieces


def named(whole: Pattern, name: str) -> Seam:
    return next(each for each in whole.seams if each.name == name)


def neighbours(side: SewnSide, made_of: dict[str, Made], *, at_end: bool) -> str:
    edge = side.edges[-1 if at_end else 0]
    letter = edge.neighbour(at_end=at_end).letter
    names = {v: k for k, v in made_of[edge.piece.name].letters.items()}
    return names[letter]


@given(drawings, drawings, drawings)
@settings(max_examples=60, deadline=None)
def test_the_sense_does_not_depend_on_how_pieces_are_drawn(
    front: Drawn, back: Drawn, arm: Drawn
) -> None:
    whole, pieces = shirt(front, back, arm)
    for name, ends in (("shoulder", {"neck", "armhole"}), ("side", {"armhole", "hem"})):
        one, other = sewn_sides(whole, named(whole, name))
        for at_end in (False, True):
            meeting = [neighbours(side, pieces, at_end=at_end) for side in (one, other)]
            assert meeting[0] == meeting[1]
        assert {neighbours(one, pieces, at_end=e) for e in (False, True)} == ends
    one, other = sewn_sides(whole, named(whole, "underarm"))
    assert neighbours(one, pieces, at_end=True) == neighbours(other, pieces, at_end=True)


@given(drawings, drawings, drawings)
@settings(max_examples=60, deadline=None)
def test_front_and_back_armholes_meet_at_the_shoulder(
    front: Drawn, back: Drawn, arm: Drawn
) -> None:
    whole, pieces = shirt(front, back, arm)
    walked = walk_seam(whole, named(whole, "armhole"))
    one, other = walked.sides
    assert [neighbours(one, pieces, at_end=e) for e in (False, True)] == ["side", "side"]
    assert neighbours(other, pieces, at_end=False) == "front underarm"
    # 190 of the front from the underarm up, then 210 of the back down.
    assert one.lengths == pytest.approx((190, 210))
    assert one.joints == pytest.approx((190,))
    assert one.notches == pytest.approx((60, 190 + 140))
    assert other.notches == pytest.approx((60, 190, 330))
    assert walked.difference == pytest.approx(0, abs=1e-6)
    assert walked.pairing.lone == ((), ())
    assert max(abs(stretch.difference) for stretch in walked.stretches) < 1e-6


@given(drawings, st.floats(0, 400))
@settings(max_examples=40, deadline=None)
def test_a_place_on_a_side_lies_on_the_stitch_line_that_far_from_its_start(
    how: Drawn, at: float
) -> None:
    whole, _ = shirt(how, how, how)
    one, _ = sewn_sides(whole, named(whole, "armhole"))
    place = one.at(at)
    here = place.edge.path.point_at(place.along)[0]
    assert place.point.to(here) < 1e-6
    back = one.reversed().at(one.total - at)
    assert back.point.to(place.point) < 1e-6 or any(abs(at - j) < 1e-6 for j in one.joints)
    assert math.hypot(*place.direction) == pytest.approx(1)


def test_turned_begins_the_second_side_at_its_other_end() -> None:
    straight = Drawn(False, 0, 0)
    whole, _ = shirt(straight, straight, straight)
    found = named(whole, "side")
    one, other = sewn_sides(whole, found)
    first, second = sewn_sides(whole, replace(found, turned=True))
    assert first == one
    assert second == other.reversed()


def test_a_dart_is_closed_and_its_leg_notches_are_left_out() -> None:
    """300 with a mouth of 30 in the middle is 270; what lies behind it moves up by 30."""
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    front = piece("Front", places)
    front = replace(front, lines=(dart((135, 400), (150, 300), (165, 400)),))
    front = notched(front, "B", 60, 250)
    # The legs, carried on to the cut line 15 above, are 2.25 further out.
    marks = [
        replace(front.marks[0], at=Point(x, 415.0), path=polyline([Point(x, 415), Point(x, 410)]))
        for x in (132.75, 167.25)
    ]
    front = replace(front, marks=(*front.marks, *marks))
    whole = pattern(front, piece("Back", places), seams=[seam("Front.B", "Back.B")])
    one, _ = sewn_sides(whole, whole.seams[0])
    assert one.total == pytest.approx(270)
    assert one.notches == pytest.approx((60, 220))
    (edge,) = one.edges
    assert [place for part in edge.parts for place in part] == pytest.approx([0, 135, 165, 300])
    assert one.at(134).point == pytest.approx((134, 400))
    assert one.at(136).point == pytest.approx((166, 400))


def test_half_a_dart_on_the_fold_is_closed_as_well() -> None:
    """The leg meets the seam 15 from the fold: 285 of 300 are sewn."""
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    front = piece("Front", places, lies={"A": Lies.FOLD})
    front = replace(front, lines=(dart((15, 400), (0, 300)),))
    whole = pattern(front, piece("Back", places), seams=[seam("Front.B", "Back.B")])
    one, _ = sewn_sides(whole, whole.seams[0])
    assert one.total == pytest.approx(285)


def test_notches_where_a_pocket_lies_need_no_partner() -> None:
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    front = notched(piece("Front", places), "B", 100)
    pocket = Line(Role.POCKET, polyline([Point(100, 400), Point(100, 300), Point(200, 300)]))
    for lines, lone in (((), 1), ((pocket,), 0)):
        back = piece("Back", places)
        whole = pattern(replace(front, lines=lines), back, seams=[seam("Front.B", "Back.B")])
        walked = walk_seam(whole, whole.seams[0])
        assert len(walked.pairing.lone[0]) == lone
        assert walked.sides[0].notches == pytest.approx((100,))


def test_a_seam_is_walked_for_every_style_that_its_edges_have() -> None:
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    long, back = piece("Front", places), piece("Back", places)
    short = piece("Front", [(0, 100), *places[1:3], (300, 100)])
    rings = replace(long.stitch[0], style="long"), replace(short.stitch[0], style="short")
    outlines = tuple(
        Outline(Role.CUT, each.outlines[0].edges, style)
        for each, style in ((long, "long"), (short, "short"))
    )
    front = replace(long, outlines=outlines, stitch=rings)
    whole = pattern(front, back, seams=[seam("Front.A", "Back.C"), seam("Front.B", "Back.B")])
    assert seam_styles(whole, whole.seams[0]) == ("long", "short")
    assert seam_styles(whole, whole.seams[1]) == ("",)
    totals = [sewn_sides(whole, whole.seams[0], style)[0].total for style in ("long", "short")]
    assert totals == pytest.approx([400, 300])


@pytest.mark.parametrize("join", [("Fornt.A", "Back.A"), ("Front.Q", "Back.A")])
def test_a_piece_or_an_edge_that_is_not_there_is_refused_with_its_place(
    join: tuple[str, str],
) -> None:
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    whole = pattern(piece("Front", places), piece("Back", places), seams=[seam(*join)])
    with pytest.raises(PatternError, match="line 9"):
        sewn_sides(whole, whole.seams[0])


def test_edges_sewn_to_their_own_mirror_image_begin_at_the_same_corner() -> None:
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    back = piece("Back", places)
    whole = pattern(back, seams=[seam("Back.A", "Back.A")])
    one, other = sewn_sides(whole, whole.seams[0])
    assert one.at(0).point == other.at(0).point


def test_a_long_chain_is_put_in_order_quickly() -> None:
    """Forty edges have 2 to the 40 ways to be turned."""
    places = [(0, 0), (0, 400), (300, 400), (300, 0)]
    whole = pattern(
        piece("Panel", places),
        piece("Band", [(0, 0), (0, 40), (12000, 40), (12000, 0)]),
        seams=[seam(" + ".join(["Panel.B"] * 40), "Band.B")],
    )
    one, other = sewn_sides(whole, whole.seams[0])
    assert one.total == pytest.approx(other.total)
