"""Corners that are nearly a needle, and corners at which the line almost runs on.

Places are worked out by hand beside each; widths are in millimetres.
"""

import math

import pytest

from tests.drafting.allowance.making import all_of, arc, corners, line, near, ring, ring_of
from tests.drafting.allowance.measuring import NEAR, lacking
from tiler.drafting.allowance import MITRE_LIMIT, CornerFinish, Finish, cut_outline
from tiler.drafting.cutlines import finishes_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight


def beside_raw(turn: float) -> Outline:
    """Edge A is raw and runs up to (0, 100); B goes on from there, turned by so many degrees."""
    way = math.radians(turn)
    end = (100 * math.sin(way), 100 + 100 * math.cos(way))
    return ring((0, 0), (0, 100), end, (200, end[1]), (200, 0), lies={"A": Lies.RAW})


@pytest.mark.parametrize("turn", [3.0, 20.0, 44.0])
def test_a_seam_keeps_its_allowance_where_a_raw_edge_almost_runs_on(turn: float) -> None:
    """Cut off on the raw edge's continuation it would lack 15 cot(turn), up to 286 mm of it."""
    asked = beside_raw(turn)
    widths = all_of(asked, 15.0) | {"A": 0.0}
    made = cut_outline(asked, widths)
    way = math.radians(turn)
    expected = [(0, 100), (-15 * math.cos(way), 100 + 15 * math.sin(way))]
    assert near(list(made.edges[1].path.nodes())[:2], expected, 1e-6)
    assert lacking(asked, made, widths) < NEAR


@pytest.mark.parametrize("turn", [46.0, 60.0, 90.0])
def test_a_raw_edge_that_leans_in_cuts_its_neighbour_off(turn: float) -> None:
    asked = beside_raw(turn)
    made = cut_outline(asked, all_of(asked, 15.0) | {"A": 0.0})
    assert near([corners(made)[1]], [(0, 100 + 15 / math.sin(math.radians(turn)))], 1e-6)


def test_a_seam_that_bends_along_a_raw_edge_keeps_its_allowance() -> None:
    """It leaves at 50 degrees and comes upright on a circle of 45.

    Its cut line, on a circle of 30, would meet the raw edge's continuation only where the heading
    is acos(45 cos 50 / 30) = 15.4 degrees from upright: 17.8 mm on, more than the 15 of its width.
    """
    start, way = Point(0, 100), math.radians(50)
    centre = Point(-45 * math.cos(way), start.y + 45 * math.sin(way))
    curve = arc(centre, 45, -50, 0).segments
    top = curve[-1].end
    asked = ring_of(
        [
            line((0, 0), (0, 100)),
            Path((*curve, Straight(top, Point(top.x, 220)))),
            line((top.x, 220), (200, 220)),
            line((200, 220), (200, 0)),
            line((200, 0), (0, 0)),
        ],
        lies={"A": Lies.RAW},
    )
    made = cut_outline(asked, all_of(asked, 15.0) | {"A": 0.0})
    expected = [(0, 100), (-15 * math.cos(way), 100 + 15 * math.sin(way))]
    assert near(list(made.edges[1].path.nodes())[:2], expected, 1e-6)


@pytest.mark.parametrize("angle", [3.0, 10.0, 16.0])
def test_a_hem_at_a_needle_has_no_endless_point(angle: float) -> None:
    """The side's cut line would meet the hem's fold line 15 / sin(angle) off: 287 mm at 3 degrees.

    Cut off square to the fold at 3.5 widths, it is still its own mirror image.
    """
    slope = math.tan(math.radians(angle))
    length = 60 / slope
    asked = ring((0, 0), (0, 60), (length, 0), lies={"C": Lies.HEM})
    made = cut_outline(asked, {"A": 15, "B": 15, "C": 30}, {"B": CornerFinish(Finish.REFLECTED)})
    crossing = length + 15 / math.sin(math.radians(angle))
    end = length + MITRE_LIMIT * 15
    high = (crossing - end) * slope
    hem = (crossing - 30 / slope, -30) if high < 30 else (end, -30)
    places = list(made.edges[1].path.nodes())
    assert near(places[-1:], [hem], 1e-6)
    assert any(near([place], [(end, high)], 1e-6) for place in places)
    assert any(near([place], [(end, -min(high, 30))], 1e-6) for place in places)
    assert max(place.x for place in made.path.nodes()) == pytest.approx(end, abs=1e-6)


def test_a_hem_at_a_corner_of_twenty_degrees_keeps_its_point() -> None:
    """15 / sin(20) = 43.9 mm is less than 3.5 widths."""
    slope = math.tan(math.radians(20))
    asked = ring((0, 0), (0, 60), (60 / slope, 0), lies={"C": Lies.HEM})
    made = cut_outline(asked, {"A": 15, "B": 15, "C": 30}, {"B": CornerFinish(Finish.REFLECTED)})
    point = 60 / slope + 15 / math.sin(math.radians(20))
    assert max(place.x for place in made.path.nodes()) == pytest.approx(point, abs=1e-6)


@pytest.mark.parametrize("lies", [Lies.SEWN, Lies.HEM])
def test_nothing_is_reflected_where_the_line_almost_runs_on(lies: Lies) -> None:
    """Edge B asks for it, for its other end; A comes to it with a turn of 5.7 degrees."""
    asked = ring((0, 0), (10, 100), (30, 200), (150, 200), (150, 0))
    edges = list(asked.edges)
    edges[1] = type(edges[1])("B", edges[1].path, lies, allowance=40.0, finish=Finish.REFLECTED)
    found = finishes_of(Outline(asked.role, tuple(edges)))
    assert found["A"].finish is Finish.MITRE
    assert found["B"] == CornerFinish(Finish.REFLECTED, first=False)
