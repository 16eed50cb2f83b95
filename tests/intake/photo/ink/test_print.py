"""Filled arrowheads, as printers draw them, are told from what a pen leaves at an end."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.intake.photo.ink.centre import STEP, Course
from tiler.intake.photo.ink.print import heads_of


def line(start: list[float], width: float, end: list[float], closed: bool = False) -> Course:
    """A straight line of 60 mm that is as wide as said, from its first place and up to its last."""
    wide = np.full(round(60 / STEP), width)
    wide[: len(start)] = start
    wide[len(wide) - len(end) :] = end
    points = np.column_stack((np.arange(len(wide)) * STEP, np.zeros(len(wide))))
    good = np.ones(len(wide), np.bool_)
    flanks = np.column_stack((wide / 2, wide / 2))
    return Course(points, good, closed, width, np.full(3, 1 / 3), flanks)


#: A head of 3.5 mm on a line of 0.6 mm, its barbs 2 mm apart, from the tip.
HEAD = [0.6, 0.8, 1.1, 1.4, 1.7, 2.0, 1.8]
#: What a round nib of 4 mm leaves that rested: a blob of 7 mm.
BLOB = [
    *(7 * np.sqrt(1 - ((np.arange(14) + 0.5) / 7 - 1) ** 2)),
]


@pytest.mark.parametrize(
    ("course", "heads"),
    [
        (line(HEAD, 0.6, HEAD[::-1]), (True, True)),
        (line(HEAD, 0.6, []), (True, False)),
        (line([], 0.6, HEAD[::-1]), (False, True)),
        (line([], 4.0, []), (False, False)),
        (line(BLOB, 4.0, BLOB), (False, False)),
        (line(HEAD[::-1], 0.6, HEAD), (False, False)),
        (line(HEAD, 0.6, HEAD[::-1], closed=True), (False, False)),
    ],
    ids=["both", "first", "last", "plain", "blobs", "the wrong way round", "ring"],
)
def test_an_arrowhead_widens_from_its_tip_and_ends_at_once(
    course: Course, heads: tuple[bool, bool]
) -> None:
    assert heads_of(course) == heads
