"""Outlines on small maps: close to the true ones, and of no more points than that takes."""

from __future__ import annotations

import math

import pytest
import shapely

from tests.strategies import rectangular
from tiler.layout.plan import Placement
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Outline, Piece, Role
from tiler.pattern.path import Path, circle, rectangle
from tiler.sheets.outlined import enclosed_by, rims_of, small_outlines

RADIUS, SCALE = 400.0, 0.07


def round_piece() -> Piece:
    """A disc."""
    ring = circle(Point(0, 0), RADIUS)
    edge = Edge("A", Path(ring.segments))
    return Piece("Disc", (Outline(Role.CUT, (edge,)),))


def test_a_disc_on_the_map_is_round_enough_with_few_points() -> None:
    """Within 0.12 mm; a chord with a sagitta of 0.06 mm spans 2 acos(1 - 0.06 / r)."""
    at = Affine.scale(SCALE, SCALE).then(Affine.move(50, 80))
    [ring] = small_outlines(Placement(round_piece(), Affine.turn(30)), at)
    centre, radius = Point(50, 80), RADIUS * SCALE
    line = shapely.LinearRing(list(ring.nodes()))
    true = shapely.Point(centre).buffer(radius, quad_segs=400).exterior
    assert line.hausdorff_distance(true) < 0.12
    fewest = math.pi / math.acos(1 - 0.06 / radius)
    assert len(ring.segments) < 2.5 * fewest


def test_corners_stay() -> None:
    """A rectangle has its four corners and nothing else."""
    [ring] = small_outlines(Placement(rectangular("Band", 300, 100), STILL), Affine.scale(0.1, 0.1))
    assert len(ring.segments) == 4
    assert ring.bounds.width == pytest.approx(30, abs=0.05)
    assert ring.bounds.height == pytest.approx(10, abs=0.05)


def test_rims_fill_what_is_enclosed_and_leave_holes() -> None:
    """Holes run the other way round: the winding number in them is nought."""
    frame = shapely.box(0, 0, 40, 40) - shapely.box(10, 10, 30, 30)
    rims = list(rims_of(shapely.union_all([frame, shapely.box(60, 0, 80, 20)])))
    assert len(rims) == 3
    areas = sorted(path.area for path in rims)
    assert areas == pytest.approx([-400, 400, 1600])


def test_what_several_outlines_enclose_is_filled_once() -> None:
    """Outlines of styles within each other have one rim."""
    nested = [rectangle(Bounds(0, 0, 40, 40)), rectangle(Bounds(5, 5, 35, 35))]
    [rim] = rims_of(enclosed_by(nested))
    assert rim.area == pytest.approx(1600)


@pytest.mark.parametrize("scale", [1e-1, 1e-3, 1e-5])
def test_a_tiny_disc_still_encloses_something(scale: float) -> None:
    """However small the map is, there is a ring with an area about that of the disc."""
    [ring] = small_outlines(Placement(round_piece(), STILL), Affine.scale(scale, scale))
    area = math.pi * (RADIUS * scale) ** 2
    assert 0.3 * area < enclosed_by([ring]).area < 1.1 * area
