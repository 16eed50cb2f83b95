"""Inputs made to break an offset: each ends in a plain cut line, by closed forms where there are.

Every cut line is also measured: nowhere less than asked, at sampled points of the stitch line.
"""

from __future__ import annotations

import math
import time

import pytest
import shapely

from tests.drafting.allowance.making import all_of, arc, corners, line, near, ring, ring_of
from tests.drafting.allowance.measuring import NEAR, lacking
from tiler.drafting.allowance import cut_outline
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

P = Point


def box(*top: Segment) -> Outline:
    """300 wide and 200 high, B on top from left to right."""
    return ring_of(
        [
            line((0, 0), (0, 200)),
            Path(top),
            line((300, 200), (300, 0)),
            line((300, 0), (0, 0)),
        ]
    )


def lines(*places: tuple[float, float]) -> tuple[Segment, ...]:
    return line(*places).segments


def sound(made: Outline) -> bool:
    return bool(shapely.LinearRing(made.path.flattened(0.002)).is_simple)


@pytest.mark.parametrize("width", [6.0, 15.0, 40.0])
def test_a_dart_cap_is_followed_with_its_peak(width: float) -> None:
    """The mouth is 30 wide and its peak 4.6 high (TRADE: the dart pressed to one side).

    With the slope a = atan(4.6 / 15) the peak's mitre is w / cos(a) high, and the hollow corners at
    the leg ends are moved up by w and sideways by w tan(a / 2).
    """
    asked = box(*lines((0, 200), (135, 200), (150, 204.6), (165, 200), (300, 200)))
    made = cut_outline(asked, all_of(asked, width))
    slope = math.atan(4.6 / 15)
    aside = width * math.tan(slope / 2)
    expected = [
        (-width, 200 + width),
        (135 - aside, 200 + width),
        (150, 204.6 + width / math.cos(slope)),
        (165 + aside, 200 + width),
        (300 + width, 200 + width),
    ]
    assert near(list(made.edges[1].path.nodes()), expected, 1e-6)


def test_a_dart_cap_that_dips_is_followed() -> None:
    """Now the leg ends are convex and the middle is hollow."""
    asked = box(*lines((0, 200), (135, 200), (150, 195.4), (165, 200), (300, 200)))
    made = cut_outline(asked, all_of(asked, 15))
    slope = math.atan(4.6 / 15)
    aside = 15 * math.tan(slope / 2)
    expected = [
        (-15, 215),
        (135 + aside, 215),
        (150, 195.4 + 15 / math.cos(slope)),
        (165 - aside, 215),
        (315, 215),
    ]
    assert near(list(made.edges[1].path.nodes()), expected, 1e-6)


@pytest.mark.parametrize("count", [13, 24, 60])
def test_nodes_that_turn_a_little_inside_one_edge(count: int) -> None:
    """A regular polygon of inner radius r grows to one of inner radius r + w: n (r + w)^2 tan."""
    points = [
        (100 * math.cos(math.tau * n / count), -100 * math.sin(math.tau * n / count))
        for n in range(count)
    ]
    asked = ring_of([line(*points, points[0])])
    made = cut_outline(asked, {"A": 15})
    inner = 100 * math.cos(math.pi / count) + 15
    assert made.area == pytest.approx(count * inner**2 * math.tan(math.pi / count), rel=1e-9)


def test_an_edge_of_a_fifth_of_a_millimetre() -> None:
    """A chamfer of 0.1 by 0.1 lies on x + y = 199.9 and moves to x + y = 199.9 + 15 sqrt(2)."""
    asked = ring((0, 0), (0, 100), (99.9, 100), (100, 99.9), (100, 0))
    made = cut_outline(asked, all_of(asked, 15))
    off = 199.9 + 15 * math.sqrt(2) - 115
    expected = [(-15, -15), (-15, 115), (off, 115), (115, off), (115, -15)]
    assert near(corners(made), expected, 1e-6)


@pytest.mark.parametrize("widths", [(15.0, 6.0, 40.0, 6.0, 15.0), (15.0, 40.0, 0.0, 6.0, 15.0)])
def test_a_short_edge_between_different_widths(widths: tuple[float, ...]) -> None:
    asked = ring((0, 0), (0, 100), (99.9, 100), (100, 99.9), (100, 0))
    made = cut_outline(asked, dict(zip("ABCDE", widths, strict=True)))
    assert sound(made)
    assert [edge.letter for edge in made.edges] == list("ABCDE")


@pytest.mark.parametrize("radius", [10.0, 14.0, 14.9, 15.0, 15.1, 16.0, 20.0])
def test_an_s_curve_about_as_tight_as_its_allowance(radius: float) -> None:
    """Half circles out and in: where the hollow one is tighter than 15 it becomes a corner."""
    waves: list[Segment] = []
    for n in range(5):
        way = (180, 0) if n % 2 == 0 else (180, 360)
        waves += arc(P((2 * n + 1) * radius, 200), radius, *way, 4).segments
    width = 10 * radius
    asked = ring_of(
        [
            line((0, 0), (0, 200)),
            Path(tuple(waves)),
            line((width, 200), (width, 0)),
            line((width, 0), (0, 0)),
        ]
    )
    made = cut_outline(asked, all_of(asked, 15))
    assert sound(made)
    assert lacking(asked, made, all_of(asked, 15)) < NEAR
    # Out there the cut line is a circle of r + 15 about the first centre.
    peak = max(point.y for point in made.edges[1].path.flattened(0.001))
    assert peak == pytest.approx(200 + radius + 15, abs=0.02)
    # Hollows end where neighbouring circles of r + 15, 4 r apart, cross, or on the hollow itself.
    between = [p.y for p in made.edges[1].path.flattened(0.001) if abs(p.x - 3 * radius) < 0.5]
    lowest = math.sqrt((radius + 15) ** 2 - (2 * radius) ** 2) if radius < 15 else 15 - radius
    assert min(between) == pytest.approx(200 + lowest, abs=0.3)


def test_cusps_inside_an_edge_become_corners() -> None:
    """This cubic stands still at its middle, (150, 245), coming from below and going back there."""
    asked = box(Cubic(P(0, 200), P(300, 260), P(0, 260), P(300, 200)))
    made = cut_outline(asked, all_of(asked, 15))
    assert sound(made)
    assert lacking(asked, made, all_of(asked, 15)) < NEAR
    # Blunted at 3.5 widths, as a needle is.
    assert max(p.y for p in made.path.flattened(0.01)) == pytest.approx(245 + 52.5, abs=0.1)


@pytest.mark.parametrize(
    "top",
    [
        (Cubic(P(0, 200), P(0, 200), P(300, 200), P(300, 200)),),
        (Straight(P(0, 200), P(100, 200)), Straight(P(100, 200), P(100, 200)),
         Straight(P(100, 200), P(300, 200))),
        (Straight(P(0, 200), P(100, 200)), Cubic(*[P(100, 200)] * 4),
         Straight(P(100, 200), P(300, 200))),
        (Cubic(P(0, 200), P(0, 200.003), P(300.002, 199.998), P(300, 200)),),
    ],
)  # fmt: skip
def test_what_has_no_length_changes_nothing(top: tuple[Segment, ...]) -> None:
    made = cut_outline(box(*top), all_of(box(*top), 15))
    assert made.area == pytest.approx(330 * 230, abs=0.5)
    assert max(p.y for p in made.path.flattened(0.01)) == pytest.approx(215, abs=0.01)


def test_six_beside_forty() -> None:
    asked = ring((0, 0), (0, 100), (50, 100), (50, 50), (100, 50), (100, 0))
    made = cut_outline(asked, {"A": 6, "B": 6, "C": 40, "D": 6, "E": 40, "F": 6})
    expected = [(-6, -6), (-6, 106), (90, 106), (90, 56), (140, 56), (140, -6)]
    assert near(corners(made), expected, 1e-6)


def test_nothing_beside_fifteen_at_a_hollow_corner() -> None:
    """The raw edge at x = 50 begins where the cut line of its neighbour meets it."""
    asked = ring((0, 0), (0, 100), (50, 100), (50, 50), (100, 50), (100, 0))
    made = cut_outline(asked, {"A": 15, "B": 15, "C": 0, "D": 15, "E": 15, "F": 15})
    expected = [(-15, -15), (-15, 115), (50, 115), (50, 65), (115, 65), (115, -15)]
    assert near(corners(made), expected, 1e-6)


@pytest.mark.parametrize("angle", [20.0, 25.0, 60.0])
def test_a_hollow_corner_is_filled_to_the_true_crossing(angle: float) -> None:
    """Both offsets cross d / sin(angle / 2) above the corner."""
    half = math.radians(angle / 2)
    reach = 150 * math.tan(half)
    asked = ring(
        (-200, 0), (-200, 300), (-reach, 300), (0, 150), (reach, 300), (200, 300), (200, 0)
    )
    made = cut_outline(asked, all_of(asked, 15))
    assert near([corners(made)[3]], [(0, 150 + 15 / math.sin(half))], 1e-6)


@pytest.mark.parametrize("angle", [1.0, 5.0, 10.0])
def test_a_slit_wants_the_same_cloth_twice(angle: float) -> None:
    reach = 150 * math.tan(math.radians(angle / 2))
    asked = ring(
        (-200, 0), (-200, 300), (-reach, 300), (0, 150), (reach, 300), (200, 300), (200, 0)
    )
    with pytest.raises(PatternError, match=r"edge .*: the allowances overlap near \("):
        cut_outline(asked, all_of(asked, 15))


def test_a_slit_inside_one_edge_is_told_too() -> None:
    slit = (
        *lines((0, 0), (0, 200), (100, 200), (100, 50)),
        *arc(P(105, 50), 5, 180, 360, 4).segments,
        *lines((110, 50), (110, 200), (300, 200), (300, 0), (0, 0)),
    )
    with pytest.raises(PatternError, match=r"edge A: the allowances overlap near \("):
        cut_outline(ring_of([Path(slit)]), {"A": 15})


def test_two_edges_of_different_widths_make_a_ring() -> None:
    """A half circle of 50 and its chord: the chord is moved by 40, the arc grows to 56."""
    asked = ring_of([line((0, 0), (0, 100)), arc(P(0, 50), 50, 90, -90, 8)])
    made = cut_outline(asked, {"A": 40, "B": 6})
    assert near(corners(made), [(-40, -6), (-40, 106)], 1e-6)
    expected = math.pi * 56**2 / 2 + 40 * 112
    assert made.area == pytest.approx(expected, abs=0.5)


def test_one_edge_with_one_corner() -> None:
    drop = Cubic(P(0, 0), P(-100, 120), P(100, 120), P(0, 0))
    asked = ring_of([Path((drop,))])
    made = cut_outline(asked, {"A": 15})
    assert sound(made)
    assert lacking(asked, made, {"A": 15}) < NEAR
    # The corner's own angle is 2 atan(100 / 120): a mitre of 15 / sin of half of it, straight down.
    assert min(p.y for p in made.path.flattened(0.001)) == pytest.approx(
        -15 / math.sin(math.atan2(100, 120)), abs=0.02
    )


@pytest.mark.parametrize("size", [2.0, 15_000.0])
def test_tiny_and_huge_pieces(size: float) -> None:
    asked = ring((0, 0), (0, size), (size, size), (size, size / 2), (size / 2, size / 2), (size, 0))
    made = cut_outline(asked, all_of(asked, 15))
    assert sound(made)
    assert [edge.letter for edge in made.edges] == list("ABCDEF")


def wavy(count: int, edges: int) -> Outline:
    """A star of soft waves, about 600 across."""

    def at(n: int) -> Point:
        angle = -math.tau * (n % count) / count
        reach = 300 + 40 * math.cos(7 * angle)
        return P(reach * math.cos(angle), reach * math.sin(angle))

    paths: list[Path] = []
    each = count // edges
    for first in range(0, count, each):
        curves: list[Segment] = []
        for n in range(first, first + each):
            p, q = at(n), at(n + 1)
            dx, dy = (q.x - p.x) / 3, (q.y - p.y) / 3
            bow = 0.1 if each == 1 else 0.0
            one = P(p.x + dx - dy * bow, p.y + dy + dx * bow)
            two = P(q.x - dx - dy * bow, q.y - dy + dx * bow)
            curves.append(Cubic(p, one, two, q))
        paths.append(Path(tuple(curves)))
    return Outline(Role.STITCH, tuple(Edge(f"E{n}", path) for n, path in enumerate(paths)))


@pytest.mark.parametrize(("count", "edges", "limit"), [(40, 40, 1.5), (800, 2, 8.0)])
def test_it_is_done_in_time(count: int, edges: int, limit: float) -> None:
    """Several times what it takes on a busy machine: guards against work that explodes."""
    asked = wavy(count, edges)
    widths = {edge.letter: (6.0, 10.0, 15.0, 12.0)[n % 4] for n, edge in enumerate(asked.edges)}
    began = time.perf_counter()
    made = cut_outline(asked, widths)
    assert time.perf_counter() - began < limit
    assert sound(made)
