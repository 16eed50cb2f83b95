"""Which ends of a seam go together where both of its ends look alike.

A kimono sleeve is drawn in one with its body: its underarm seam runs from the sleeve's hem to the
body's hem, so what lies beside it is a hem at both ends. Outside values: the corners' angles by
hand; 108.8 degrees is the angle between (20, 102) and (-280, -38).
"""

from __future__ import annotations

import math
from itertools import product

import pytest

from tests.drafting.checks.making import pattern, piece, seam
from tiler.drafting.checks import check
from tiler.drafting.walking.measured import walk_seam
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Lies, Piece, Seam
from tiler.pattern.segment import Cubic, Segment, Straight

CORNERS = [(0, 0), (0, 550), (90, 640), (600, 540), (580, 438), (260, 0)]
UNDERARM = [
    Straight(Point(580, 438), Point(300, 400)),
    Cubic(Point(300, 400), Point(270, 398), Point(255, 360), Point(255, 330)),
    Straight(Point(255, 330), Point(260, 0)),
]
SLEEVE_END = math.degrees(
    math.acos((20 * -280 + 102 * -38) / math.hypot(20, 102) / math.hypot(280, 38))
)
MIRROR = Affine.scale(-1, 1)
WAYS = {
    "as drawn": Affine(),
    "a quarter": Affine.turn(90),
    "upside down": Affine.turn(180),
    "mirrored": MIRROR,
    "mirrored and turned": MIRROR.then(Affine.turn(120)),
}


def kimono(name: str, by: Affine) -> tuple[Piece, dict[str, str]]:
    """The piece, and the letters of its edges: fold, neck, shoulder, end, underarm, hem."""
    words = ["fold", "neck", "over", "end", "under", "hem"]
    corners = [by(Point(*corner)) for corner in CORNERS]
    curve: list[Segment] = [type(s)(*(by(p) for p in s)) for s in UNDERARM]
    if by.determinant < 0:
        # Clockwise again: the edges in the other order, each from its other end.
        corners = [corners[0], *corners[:0:-1]]
        words.reverse()
        curve = [type(s)(*reversed(tuple(s))) for s in reversed(curve)]
    letters = dict(zip(words, "ABCDEF", strict=True))
    lies = {letters["fold"]: Lies.FOLD, letters["end"]: Lies.HEM, letters["hem"]: Lies.HEM}
    places = [(corner.x, corner.y) for corner in corners]
    return piece(name, places, curves={words.index("under"): curve}, lies=lies), letters


def seams(front: dict[str, str], back: dict[str, str], *words: str) -> list[Seam]:
    return [seam(f"Back.{back[word]}", f"Front.{front[word]}", word) for word in words]


@pytest.mark.parametrize("declared", [("under",), ("over", "under"), ("under", "over")])
@pytest.mark.parametrize(("one", "other"), list(product(WAYS, WAYS)))
def test_sleeve_ends_meet_at_the_underarm(one: str, other: str, declared: tuple[str, ...]) -> None:
    front, back = kimono("Front", WAYS[one]), kimono("Back", WAYS[other])
    made = pattern(front[0], back[0], seams=seams(front[1], back[1], *declared))
    (fault,) = [fault for fault in check(made) if fault.code == "line-breaks"]
    assert fault.numbers["first_degrees"] == pytest.approx(SLEEVE_END, abs=0.01)
    assert fault.numbers["second_degrees"] == pytest.approx(SLEEVE_END, abs=0.01)


def test_a_seam_that_the_shoulder_runs_up_to_tells_the_ends_without_a_curve() -> None:
    """Straight underarms tell nothing by their shape."""
    lies = {"A": Lies.FOLD, "D": Lies.HEM, "F": Lies.HEM}
    front = piece("Front", CORNERS, lies=lies)
    turned = [Affine.turn(180)(Point(*corner)) for corner in CORNERS]
    back = piece("Back", [(p.x, p.y) for p in turned], lies=lies)
    made = pattern(front, back, seams=[seam("Front.C", "Back.C"), seam("Front.E", "Back.E")])
    walk = walk_seam(made, made.seams[1])
    beside = [side.edges[0].neighbour(at_end=False).letter for side in walk.sides]
    assert beside in (["D", "D"], ["F", "F"])
