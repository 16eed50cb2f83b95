"""What lines are does not hang on where they lie, how they are turned, or on a hand's noise."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.drawing import draws
from tests.intake.photo.lines.test_sorting import CORNERS, bodice, kinds
from tests.intake.photo.lines.webs import Drawn, arc, arrow, closed, cross, line, tick, web_of
from tiler.intake.photo.lines.sorting import Asked, tracings_of
from tiler.intake.photo.model import Kind, Tracing
from tiler.intake.photo.problem import Doubts

#: One of everything.
DRAWN = (
    bodice(),
    tick((241.45, 150), (-1, 0.1)),
    tick((100, 0), (0, 1), 8, 6),
    line((121, -0.1), (125, 7), (129, -0.1)),
    line((6, 60), (20, 60), (20, 260), (6, 260)),
    *arrow((120, 80), (120, 260)),
    line((150, -0.1), (160, 110), (170, -0.1)),
    closed((200, 60), (207, 130), (200, 200), (193, 130)),
    *cross((60, 150)),
    closed(*arc((180, 300), 4, 0, 340, 18)),
    line((60, 270), (110, 310)),
)
EXPECTED = {
    "outline": 1,
    "notch": 3,
    "fold": 1,
    "grain": 1,
    "dart": 2,
    "drill": 2,
    "inside": 1,
}


def placed(
    drawn: tuple[Drawn, ...], turn: float, mirrored: bool, x: float, y: float
) -> list[Drawn]:
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    side = -1 if mirrored else 1
    return [
        Drawn(
            tuple(
                (side * a * cos - b * sin + x, side * a * sin + b * cos + y) for a, b in d.places
            ),
            d.colour,
        )
        for d in drawn
    ]


def read(drawn: list[Drawn], noise: float, seed: int) -> Tracing:
    web = web_of(drawn, noise=noise, seed=seed, wobble=0.25)
    (tracing,) = tracings_of(web, Asked(), Doubts())
    return tracing


@draws(6)
@given(
    st.floats(0, 360),
    st.booleans(),
    st.floats(-400, 400),
    st.floats(-400, 400),
    st.sampled_from([0.05, 0.1, 0.15]),
    st.integers(0, 50),
)
def test_the_same_lines_are_the_same_everywhere(
    turn: float, mirrored: bool, x: float, y: float, noise: float, seed: int
) -> None:
    tracing = read(placed(DRAWN, turn, mirrored, x, y), noise, seed)
    assert kinds(tracing) == EXPECTED
    assert len(tracing.lines[0].corners) == len(CORNERS)


@draws(4)
@given(st.integers(0, 1000))
def test_corners_and_tips_stay_in_place(seed: int) -> None:
    tracing = read(list(DRAWN), 0.1, seed)
    outline = tracing.lines[0].points[list(tracing.lines[0].corners)]
    for corner in CORNERS:
        assert np.hypot(*(outline - corner).T).min() < 1.0
    tips = [
        each.points[each.corners[0]]
        for each in tracing.lines
        if each.kind is Kind.DART and not each.closed
    ]
    assert np.hypot(*(tips[0] - (160, 110))) < 1.5
