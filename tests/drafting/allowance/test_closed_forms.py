"""Cut and stitch lines whose place follows from a closed form, to a hundredth of a millimetre.

Values of the square, the 30-40-50 triangle and the neckline are hand-checked arithmetic: a mitred
offset by d of a convex polygon of area A and perimeter P adds P d + d^2 sum(cot(angle / 2)).
"""

import math

import pytest

from tests.drafting.allowance.making import (
    all_of,
    arc,
    as_role,
    corners,
    line,
    near,
    ring,
    ring_of,
    square,
    straight,
)
from tiler.drafting.allowance import MITRE_LIMIT, cut_outline, stitch_outline
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Role

#: The sides 30, 40 and 50, right-angled at the origin.
TRIANGLE = ((0.0, 0.0), (0.0, 30.0), (40.0, 0.0))


def test_a_square_grows_to_a_square() -> None:
    """100 + 2 x 15 = 130, squared 16900."""
    made = cut_outline(square(), all_of(square(), 15))
    assert made.area == pytest.approx(16900, abs=1e-6)
    assert near(corners(made), [(-15, -15), (-15, 115), (115, 115), (115, -15)], 1e-9)


def test_the_outline_keeps_letters_names_and_style() -> None:
    asked = ring((0, 0), (0, 100), (80, 100), (80, 0), lies={"A": Lies.FOLD, "D": Lies.HEM})
    made = cut_outline(asked, {"A": 0, "B": 10, "C": 15, "D": 40})
    assert made.role is Role.CUT
    assert made.style == asked.style
    assert [(e.letter, e.name, e.lies) for e in made.edges] == [
        (e.letter, e.name, e.lies) for e in asked.edges
    ]
    for edge, after in zip(made.edges, [*made.edges[1:], made.edges[0]], strict=True):
        assert edge.path.end == after.path.start
        assert len(edge.path.segments) == 1, "lines stay lines, and run on in one"
        assert straight(edge.path)


def test_every_edge_has_its_own_width() -> None:
    """Left 15, top 10, right 20, hem 40: every corner is where the shifted lines cross."""
    made = cut_outline(square(), {"A": 15, "B": 10, "C": 20, "D": 40})
    assert near(corners(made), [(-15, -40), (-15, 110), (120, 110), (120, -40)], 1e-9)


def test_a_slanted_corner_of_two_widths() -> None:
    """Edges along y = 0 and at 60 degrees meet where y = -20 and the line shifted by 10 cross.

    The slanted edge leaves (0, 0) for (50, 50 sqrt 3); moved 10 to its left it satisfies
    sqrt(3) x - y = -20; with y = -20 that is x = -40 / sqrt(3).
    """
    root = math.sqrt(3)
    asked = ring((0, 0), (50, 50 * root), (100, 0))
    made = cut_outline(asked, {"A": 10, "B": 10, "C": 20})
    assert corners(made)[0].to(Point(-40 / root, -20)) < 1e-9


def test_the_triangle_grows_by_five() -> None:
    """600 + 120 x 5 + 25 x 6 = 1350; its sharpest corner has a mitre of sqrt(10) widths."""
    asked = ring(*TRIANGLE)
    assert math.sqrt(10) < MITRE_LIMIT
    made = cut_outline(asked, all_of(asked, 5))
    assert made.area == pytest.approx(1350, abs=1e-6)
    assert near(corners(made), [(-5, -5), (-5, 40), (55, -5)], 1e-9)


def test_the_triangle_shrinks_by_two() -> None:
    """The radius of its inner circle falls from 10 to 8: 600 x 0.8^2 = 384."""
    asked = ring(*TRIANGLE, role=Role.CUT)
    made = stitch_outline(asked, all_of(asked, 2))
    assert made.area == pytest.approx(384, abs=1e-6)
    assert made.role is Role.STITCH


def test_a_circle_grows_to_a_circle() -> None:
    asked = ring_of([arc(Point(30, 40), 80, 90, -270, 16)])
    made = cut_outline(asked, {"A": 15})
    assert all(
        point.to(Point(30, 40)) == pytest.approx(95, abs=0.01)
        for point in made.path.flattened(0.001)
    )
    assert made.area == pytest.approx(math.pi * 95**2, abs=2 * math.pi * 95 * 0.01)


def test_a_circle_shrinks_to_a_circle() -> None:
    asked = ring_of([arc(Point(0, 0), 80, 90, -270, 16)], role=Role.CUT)
    made = stitch_outline(asked, {"A": 6})
    assert all(
        point.to(Point(0, 0)) == pytest.approx(74, abs=0.01) for point in made.path.flattened(0.001)
    )


def test_a_neckline_is_shorter_on_the_cut_line() -> None:
    """A quarter circle of 80 measures 125.664; 6 mm further in its cut line measures 116.239."""
    neck = arc(Point(0, 0), 80, 90, 0)
    asked = ring_of(
        [
            line((0, 200), (0, 80)).reversed(),
            line((0, 200), (200, 200), (200, 0), (80, 0)),
            neck.reversed(),
        ],
        lies={"A": Lies.FOLD},
    )
    made = cut_outline(asked, {"A": 0, "B": 0, "C": 6})
    assert asked.edges[2].path.length == pytest.approx(125.664, abs=0.001)
    assert made.edges[2].path.length == pytest.approx(116.239, abs=0.01)
    assert made.edges[0].path.start.to(Point(0, 74)) < 1e-6


def test_a_hollow_corner_is_where_the_offsets_cross() -> None:
    """Widths 10 and 20 at the inner corner (50, 50) of an L: (60, 70)."""
    asked = ring((0, 0), (0, 100), (50, 100), (50, 50), (100, 50), (100, 0))
    made = cut_outline(asked, {"A": 10, "B": 10, "C": 10, "D": 20, "E": 10, "F": 10})
    assert near(
        corners(made),
        [(-10, -10), (-10, 110), (60, 110), (60, 70), (110, 70), (110, -10)],
        1e-6,
    )


@pytest.mark.parametrize("angle", [10.0, 20.0, 30.0, 33.0])
def test_a_long_mitre_is_blunted_square_at_the_limit(angle: float) -> None:
    """By arithmetic the mitre is d / sin(angle / 2) long; what is past the limit is cut off.

    The blunt end lies `MITRE_LIMIT` widths from the corner, square to the bisector, and is as wide
    as the mitre there: 2 (1 / sin(angle / 2) - limit) d tan(angle / 2).
    """
    half, d = math.radians(angle / 2), 10.0
    reach = 200 * math.tan(half)
    asked = ring((-reach, 0), (0, 200), (reach, 0))
    made = cut_outline(asked, all_of(asked, d))
    middle = made.edges[1].path.start
    assert middle.to(Point(0, 200 + MITRE_LIMIT * d)) < 1e-6
    side = (1 / math.sin(half) - MITRE_LIMIT) * d * math.tan(half)
    assert made.edges[0].path.segments[-1].start.to(Point(-side, middle.y)) < 1e-6
    assert made.edges[1].path.segments[0].end.to(Point(side, middle.y)) < 1e-6
    back = stitch_outline(made, all_of(asked, d))
    assert near(corners(back), [(-reach, 0), (0, 200), (reach, 0)], 1e-6)


def test_a_mitre_within_the_limit_is_pointed() -> None:
    """45 degrees: 2.613 widths."""
    half, d = math.radians(22.5), 10.0
    reach = 200 * math.tan(half)
    made = cut_outline(ring((-reach, 0), (0, 200), (reach, 0)), {"A": d, "B": d, "C": d})
    assert made.edges[1].path.start.to(Point(0, 200 + 26.131)) < 0.001


def test_taking_it_off_gives_the_stitch_line_back() -> None:
    asked = ring((0, 0), (0, 100), (50, 100), (50, 50), (100, 60), (120, -10))
    widths = {"A": 10.0, "B": 6.0, "C": 12.0, "D": 20.0, "E": 15.0, "F": 0.0}
    back = stitch_outline(cut_outline(asked, widths), widths)
    assert near(corners(back), [tuple(corner) for corner in corners(asked)], 1e-6)
    assert as_role(asked, Role.CUT).area == pytest.approx(back.area, abs=1e-4)
