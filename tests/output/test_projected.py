"""Drawings of the mat on the projector's page: bent by the map, cut off at the mat's edge."""

from __future__ import annotations

from collections.abc import Iterator

import cv2
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tiler.layout.mats.mat import Mat
from tiler.output.projected import Screen, prewarped
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Use, Words, walk
from tiler.sheets.screen import PX_MM

CORNERS = (Point(-40, -30), Point(780, -60), Point(740, 560), Point(-20, 520))
MAT = Mat("table", 1920, 1080, 700, 450, CORNERS)
FRAME = Bounds(0, 0, 700, 450)
INSET = 40


def screen(*, dark: bool = True) -> Screen:
    return Screen(1920, 1080, MAT.to_pixels(), dark)


def page_of(*items: Item, dark: bool = True) -> Page:
    return prewarped("a window", items, FRAME, screen(dark=dark))


def on_mat(path: Path) -> shapely.Polygon:
    """A path of the page brought back to the mat by OpenCV."""
    grid = np.array([[40, 1040], [1880, 1040], [1880, 40], [40, 40]], np.float32)
    back = cv2.getPerspectiveTransform(grid, np.array(CORNERS, np.float32))
    points = [(point.x / PX_MM, 1080 - point.y / PX_MM) for point in path.nodes()]
    moved = cv2.perspectiveTransform(np.array([points]), back)
    return shapely.Polygon(moved[0])


def bands(page: Page) -> Iterator[Fill]:
    """What is painted after the ground."""
    return (item for item in walk(page.items[1:]) if isinstance(item, Fill))


@given(st.floats(20, 680), st.floats(20, 430), st.floats(20, 680), st.floats(20, 430))
def test_a_line_is_as_wide_on_the_mat_as_its_pen(a: float, b: float, c: float, d: float) -> None:
    """Near and far from the lens alike; area of the band: length times width, and round ends."""
    start, end, width = Point(a, b), Point(c, d), 2.0
    if start.to(end) < 5:
        return
    (band,) = bands(page_of(Stroke((polyline([start, end]),), Pen(width))))
    area = sum(on_mat(path).area for path in band.paths)
    assert area == pytest.approx(start.to(end) * width + np.pi * width**2 / 4, rel=0.01, abs=0.3)


def test_a_ring_keeps_its_hole() -> None:
    (band,) = bands(page_of(Stroke((circle(Point(300, 200), 50),), Pen(2.0))))
    outer, inner = sorted((on_mat(path) for path in band.paths), key=lambda p: -p.area)
    assert outer.area == pytest.approx(np.pi * 51**2, rel=0.002)
    assert inner.area == pytest.approx(np.pi * 49**2, rel=0.002)
    turns = [shapely.LinearRing(list(path.nodes())).is_ccw for path in band.paths]
    assert turns[0] != turns[1]


def test_dashes_are_as_long_as_the_pen_says() -> None:
    line = polyline([Point(100, 200), Point(200, 200)])
    (band,) = bands(page_of(Stroke((line,), Pen(1.0, dash=(6.0, 4.0)))))
    widths = [on_mat(path).bounds[2] - on_mat(path).bounds[0] for path in band.paths]
    assert widths == pytest.approx([6.0] * 10, abs=0.01)


@pytest.mark.parametrize("dark", [True, False])
def test_nothing_is_shown_beside_the_mat(dark: bool) -> None:
    """Lines that run out of it are cut, and the ground beside it is never light."""
    far = polyline([Point(-300, 200), Point(1000, 260)])
    page = page_of(Stroke((far,), Pen(2.0)), dark=dark)
    ground, *_ = page.items
    assert isinstance(ground, Group)
    first, *others = ground.items
    assert isinstance(first, Fill)
    assert first.grey == 0.0
    assert first.paths == (rectangle(Bounds(0, 0, 384, 216)),)
    assert bool(others) is not dark
    lit = [path for item in (*others, *bands(page)) for path in getattr(item, "paths", ())]
    assert lit
    for path in lit:
        assert shapely.box(*FRAME).buffer(0.01).covers(on_mat(path))


def test_shades_are_turned_round_on_a_dark_ground() -> None:
    line = Stroke((polyline([Point(10, 10), Point(90, 10)]),), Pen(1.0, grey=0.25))
    assert [fill.grey for fill in bands(page_of(line))] == [0.75]
    assert [fill.grey for fill in bands(page_of(line, dark=False))] == [0.25]


def test_words_stand_where_they_should_and_run_along_their_line() -> None:
    """The middle of each word comes back to its place, whatever groups it stands in."""
    text = Words("check this", Point(50, 0), 40.0, anchor="middle", turn=90)
    shifted = Group((Use(Drawing(FRAME, (text,)), Affine.move(250, 150)),), at=Affine.move(0, 50))
    found = [item for item in walk(page_of(shifted).items) if isinstance(item, Group) and item.at]
    assert len(found) == 2
    back = MAT.to_mat()
    places = [back([(g.at.e / PX_MM, 1080 - g.at.f / PX_MM)])[0] for g in found if g.at]
    assert [place[0] for place in places] == pytest.approx([300, 300], abs=0.01)
    assert places[0][1] < 200 < places[1][1]


def test_a_window_within_the_drawing_cuts_what_it_should() -> None:
    line = Stroke((polyline([Point(0, 100), Point(600, 100)]),), Pen(2.0))
    (band,) = bands(page_of(Group((line,), window=Bounds(100, 0, 300, 400))))
    left, _, right, _ = on_mat(band.paths[0]).bounds
    assert (left, right) == pytest.approx((100, 300), abs=0.01)
