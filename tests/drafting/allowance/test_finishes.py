"""Corners the way cloth needs them; every expected place is worked out by hand beside it."""

import math

import pytest

from tests.drafting.allowance.making import all_of, arc, corners, line, near, ring, ring_of
from tiler.drafting.allowance import MITRE_LIMIT, CornerFinish, Finish, cut_outline, stitch_outline
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline

HEM = {"D": Lies.HEM}
WIDTHS = {"A": 15.0, "B": 15.0, "C": 15.0, "D": 40.0}
TURNED_UP = {
    "C": CornerFinish(Finish.REFLECTED),
    "D": CornerFinish(Finish.REFLECTED, first=False),
}
#: A side that leans 20 mm over 200 mm stands 15 sqrt(1.01) mm off along the hem.
OFF = 15 * math.sqrt(1.01)


def sleeve_end(taper: float) -> Outline:
    """200 long, 60 wide at the hem and wider by the taper on either side at the top."""
    return ring((20, 0), (20 - taper, 200), (80 + taper, 200), (80, 0), lies=HEM)


@pytest.mark.parametrize("taper", [20.0, -20.0])
def test_a_hem_mirrors_the_sides_in_its_stitch_line(taper: float) -> None:
    """40 mm above the hem the side's cut line stands off by OFF + taper / 5; so it does below."""
    made = cut_outline(sleeve_end(taper), WIDTHS, TURNED_UP)
    shift = OFF + taper / 5
    side = made.edges[2].path
    assert near(list(side.nodes())[1:], [(80 + OFF, 0), (80 + shift, -40)], 1e-6)
    assert near(list(made.edges[0].path.nodes())[:2], [(20 - shift, -40), (20 - OFF, 0)], 1e-6)
    assert near(list(made.edges[3].path.nodes()), [(80 + shift, -40), (20 - shift, -40)], 1e-6)


@pytest.mark.parametrize("taper", [20.0, -20.0, 0.0])
def test_a_mirrored_hem_leads_back_to_its_stitch_line(taper: float) -> None:
    asked = sleeve_end(taper)
    back = stitch_outline(cut_outline(asked, WIDTHS, TURNED_UP), WIDTHS)
    assert near(corners(back), [tuple(corner) for corner in corners(asked)], 1e-6)


def test_a_straight_side_has_nothing_to_mirror() -> None:
    made = cut_outline(sleeve_end(0), WIDTHS, TURNED_UP)
    assert near(corners(made), [(5, -40), (5, 215), (95, 215), (95, -40)], 1e-9)
    assert [len(edge.path.segments) for edge in made.edges] == [1, 1, 1, 1]


def test_a_curved_hem_turns_up_onto_the_sides() -> None:
    """Hem on a circle of 900 mm: reflection in it turns the distance r from its centre to 1800 - r.

    Every place of the side within the hem's allowance, reflected back so, lies on the side's cut
    line above: the line through (80, 0) and (100, 200) or their mirror image, 15 mm further out.
    """
    radius, reach = 900.0, 60.0
    centre = Point(0, math.sqrt(radius**2 - reach**2))
    half = math.degrees(math.asin(reach / radius))
    asked = ring_of(
        [
            line((-reach, 0), (-80, 200)),
            line((-80, 200), (80, 200)),
            line((80, 200), (reach, 0)),
            arc(centre, radius, 270 + half, 270 - half),
        ],
        lies=HEM,
    )
    made = cut_outline(asked, WIDTHS, TURNED_UP)
    below = [
        point
        for point in made.edges[2].path.flattened(0.001)
        if centre.to(point) > radius + 1 and point.x > reach
    ]
    assert centre.to(made.edges[3].path.start) == pytest.approx(radius + 40, abs=0.5)
    assert below
    slope = 20 / 200
    for point in below:
        # Past the corner the fold runs on straight: the tangent there leans by `half` degrees.
        way = Point(math.cos(math.radians(half)), math.sin(math.radians(half)))
        along = (point.x - reach) * way.x + point.y * way.y
        if along >= 0:
            depth = -(point.x - reach) * way.y + point.y * way.x
            turned = Point(point.x + 2 * depth * way.y, point.y - 2 * depth * way.x)
        else:
            distance = centre.to(point)
            scale = (2 * radius - distance) / distance
            turned = Point(
                centre.x + (point.x - centre.x) * scale, centre.y + (point.y - centre.y) * scale
            )
        off = (turned.x - reach - slope * turned.y) / math.sqrt(1 + slope**2)
        assert off == pytest.approx(15, abs=0.02)


def test_a_side_too_short_to_be_mirrored_is_told() -> None:
    short = ring((0, 0), (0, 30), (100, 30), (90, 0), lies=HEM)
    with pytest.raises(PatternError, match="edge C is too short to be mirrored"):
        cut_outline(short, {"A": 5, "B": 5, "C": 5, "D": 40}, {"C": CornerFinish(Finish.REFLECTED)})


def test_a_square_corner_cuts_the_first_allowance_off() -> None:
    """30-40-50 triangle, 5 mm: the long side run on meets y = -5 at x = 40 + 5 x 4/3.

    The outer end of the square lies 5 mm from there along the side's normal (3/5, 4/5).
    """
    asked = ring((0, 0), (0, 30), (40, 0))
    made = cut_outline(asked, all_of(asked, 5), {"B": CornerFinish(Finish.SQUARE)})
    inner = (40 + 20 / 3, -5)
    assert near(list(made.edges[1].path.nodes())[1:], [(inner[0] + 3, inner[1] + 4), inner], 1e-9)
    assert near(list(made.edges[2].path.nodes()), [inner, (-5, -5)], 1e-9)


def test_a_square_corner_of_the_later_edge_cuts_the_other_allowance_off() -> None:
    """The base run on meets the shifted long side at x = 40 + 5 x 5/3, where it is cut square."""
    asked = ring((0, 0), (0, 30), (40, 0))
    made = cut_outline(asked, all_of(asked, 5), {"B": CornerFinish(Finish.SQUARE, first=False)})
    x = 40 + 25 / 3
    assert near(list(made.edges[1].path.nodes()), [(-5, 40), (x, 0)], 1e-9)
    assert near(list(made.edges[2].path.nodes()), [(x, 0), (x, -5), (-5, -5)], 1e-9)


def test_a_square_and_a_mitred_right_angle_are_the_same() -> None:
    asked = ring((0, 0), (0, 100), (100, 100), (100, 0))
    widths = {"A": 15.0, "B": 10.0, "C": 20.0, "D": 40.0}
    plain = cut_outline(asked, widths)
    made = cut_outline(
        asked, widths, {"A": CornerFinish(Finish.SQUARE), "C": CornerFinish(Finish.SQUARE)}
    )
    assert made.area == pytest.approx(plain.area, abs=1e-6)


@pytest.mark.parametrize("rise", [20.0, -20.0, 0.0])
def test_neighbours_of_a_fold_end_on_its_continuation(rise: float) -> None:
    """A line rising by 20 over 60, moved up by 10, meets x = 0 at 100 + 10 sqrt(1 + 1/9)."""
    asked = ring((0, 0), (0, 100), (60, 100 + rise), (60, 0), lies={"A": Lies.FOLD})
    made = cut_outline(asked, {"A": 0, "B": 10, "C": 10, "D": 10})
    top = 100 + 10 * math.hypot(1, rise / 60)
    assert near(list(made.edges[0].path.nodes()), [(0, -10), (0, top)], 1e-9)


def test_a_needle_on_the_fold_is_blunted_square_to_it() -> None:
    """Both halves together are blunted at the limit; the fold keeps nothing but its line."""
    asked = ring((0, 0), (0, 100), (20, 0), lies={"A": Lies.FOLD})
    made = cut_outline(asked, {"A": 0, "B": 10, "C": 10})
    top = 100 + 10 * MITRE_LIMIT
    assert near(list(made.edges[0].path.nodes()), [(0, -10), (0, top)], 1e-9)
    blunt = made.edges[1].path.segments[0]
    assert blunt.start.y == pytest.approx(blunt.end.y)


def test_edges_that_run_on_straight_are_joined_by_a_step() -> None:
    """No two parallel lines meet: the wider allowance ends square at the stitch corner."""
    asked = ring((0, 0), (0, 60), (0, 100), (80, 100), (80, 0))
    made = cut_outline(asked, {"A": 40, "B": 15, "C": 15, "D": 15, "E": 15})
    assert near(list(made.edges[0].path.nodes()), [(-40, -15), (-40, 60), (-15, 60)], 1e-9)
    assert near(list(made.edges[1].path.nodes()), [(-15, 60), (-15, 115)], 1e-9)


def test_a_step_in_a_slightly_hollow_line() -> None:
    """The wide edge rises by 60 to (0, 60) and the narrow one leans out by 1 in 10 from there.

    The step runs along y = 60 until it meets the narrow cut line: 15 sqrt(1.01) from the corner.
    """
    asked = ring((0, 0), (0, 60), (-4, 100), (80, 100), (80, 0))
    made = cut_outline(asked, {"A": 40, "B": 15, "C": 15, "D": 15, "E": 15})
    meets = (-15 * math.sqrt(1.01), 60)
    assert near(list(made.edges[0].path.nodes()), [(-40, -15), (-40, 60), meets], 1e-6)


def test_a_wide_edge_between_raw_ones_that_lean_in_stands_up_square() -> None:
    """The raw edges run on would cut all of its 20 mm off; it keeps them, ending square."""
    asked = ring((0, 0), (0, 90), (2.5, 95), (7.5, 95), (10, 90), (10, 0))
    made = cut_outline(asked, {"A": 0, "B": 0, "C": 20, "D": 0, "E": 0, "F": 0})
    tab = [(2.5, 95), (2.5, 115), (7.5, 115), (7.5, 95)]
    assert near(list(made.edges[2].path.nodes()), tab, 1e-9)
