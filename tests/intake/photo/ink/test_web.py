"""Centre lines of ink on a flattened table, against the lines that the nib was led along.

The tables are drawn by `drawn_table`; what must be found is the way that its nib was led.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.intake.photo.ink.drawn_table import DrawnTable
from tiler.intake.photo.ink.web import web_of
from tiler.intake.photo.model import Flattened, Web
from tiler.intake.photo.problem import CaptureError, Doubts

Way = list[tuple[float, float]]

#: A small bodice: corners of 90° and more, a neck and an armhole as arcs.
ARC = [(170 - 50 * np.cos(t), 180 - 50 * np.sin(t)) for t in np.radians(np.linspace(0, 90, 60))]
BODICE: Way = [(40, 40), (170, 44), *ARC[::-1], (115, 210), (70, 225), (40, 195)]


def found(table: DrawnTable, doubts: Doubts | None = None, **how: object) -> Web:
    flattened = table.flattened(**how)  # type: ignore[arg-type]
    return look(table, flattened, doubts)


def look(table: DrawnTable, flattened: Flattened, doubts: Doubts | None = None) -> Web:
    photos = table.photos(flattened)
    return web_of(flattened, table.solved(), photos, doubts or Doubts())


def dense(way: np.ndarray, closed: bool) -> np.ndarray:
    if closed:
        way = np.concatenate((way, way[:1]))
    along = np.concatenate(([0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))))
    at = np.arange(0, along[-1], 0.02)
    return np.column_stack((np.interp(at, along, way[:, 0]), np.interp(at, along, way[:, 1])))


def off(web: Web, ways: list[tuple[Way, bool]]) -> np.ndarray:
    """Distances of the strands' points from the truth, and of the truth from the strands."""
    from scipy.spatial import cKDTree

    truth = np.concatenate([dense(np.array(way, float), closed) for way, closed in ways])
    lines = np.concatenate([dense(s.points, s.ring) for s in web.strands])
    return np.concatenate((cKDTree(truth).query(lines)[0], cKDTree(lines).query(truth[::10])[0]))


def vertex_off(web: Web, place: tuple[float, float]) -> float:
    every = np.concatenate([s.points for s in web.strands])
    return float(np.hypot(*(every - place).T).min())


def drawn(ways: list[tuple[Way, bool]], size: float = 260, width: float = 4.0) -> DrawnTable:
    table = DrawnTable(size, size)
    for way, closed in ways:
        table.line(way, width, closed=closed)
    return table


def test_an_outline_is_one_ring_on_the_nibs_way() -> None:
    web = found(drawn([(BODICE, True)]))
    (ring,) = web.strands
    assert ring.ring
    assert len(web.nodes) == 0
    away = off(web, [(BODICE, True)])
    assert np.sqrt(np.mean(away**2)) < 0.05
    assert np.percentile(away, 95) < 0.1
    assert ring.width == pytest.approx(4.0, abs=0.2)
    steps = np.hypot(*np.diff(ring.points, axis=0).T)
    assert steps.max() < 1.6


def test_corners_are_where_the_nib_turned_and_not_where_thinning_cuts_them() -> None:
    web = found(drawn([(BODICE, True)]))
    for corner in ((40, 40), (170, 44), (115, 210), (70, 225)):
        assert vertex_off(web, corner) < 0.3


def test_a_rounded_corner_stays_round() -> None:
    round_ = [(200 - 9 + 9 * np.cos(t), 60 + 9 * np.sin(t)) for t in np.linspace(-1.571, 0, 40)]
    way: Way = [(50, 51), *round_, (200, 150)]
    web = found(drawn([(way, False)]))
    assert off(web, [(way, False)]).max() < 0.3
    assert vertex_off(web, (200, 51)) > 2.5


@pytest.mark.parametrize("degrees", [12, 25, 60])
def test_a_dart_comes_to_a_point_where_its_legs_meet(degrees: float) -> None:
    half = np.radians(degrees / 2)
    tip = np.array([50.0, 130.0])
    legs = [tip + 110 * np.array([np.cos(half), s * np.sin(half)]) for s in (-1, 1)]
    way = [tuple(legs[0]), tuple(tip), tuple(legs[1])]
    web = found(drawn([(way, False)]))
    # The legs' own error grows along the axis as their angle gets small.
    assert vertex_off(web, tuple(tip)) < 0.3 + 0.05 / np.sin(half)
    assert np.percentile(off(web, [(way, False)]), 95) < 0.1


@pytest.mark.parametrize("degrees", [14, 30, 55, 90])
def test_lines_that_cross_have_one_node_where_they_do(degrees: float) -> None:
    half = np.radians(degrees / 2)
    ways: list[tuple[Way, bool]] = []
    for sign in (-1, 1):
        arm = 90 * np.array([np.cos(half), sign * np.sin(half)])
        ways.append(([tuple(130 - arm), tuple(130 + arm)], False))
    web = found(drawn(ways))
    assert len(web.strands) == 4
    counts = np.bincount([n for s in web.strands for n in (s.start, s.end) if n is not None])
    assert sorted(counts) == [1, 1, 1, 1, 4]
    assert np.hypot(*(web.nodes[int(counts.argmax())] - 130)) < 0.3 / np.sin(half)
    assert np.percentile(off(web, ways), 95) < 0.1


def test_a_foot_ends_on_the_middle_of_the_line_it_stands_on() -> None:
    ways: list[tuple[Way, bool]] = [
        ([(30, 130), (230, 138)], False),
        ([(120, 40), (130, 134)], False),
    ]
    web = found(drawn(ways))
    assert len(web.strands) == 3
    assert np.hypot(*(web.nodes - (130, 134)).T).min() < 0.15
    assert off(web, ways).max() < 0.3


def test_a_loose_end_is_where_the_nib_stood() -> None:
    web = found(drawn([([(40, 100), (210, 120)], False)]))
    (line,) = web.strands
    ends = sorted(line.points[[0, -1]].tolist())
    assert np.abs(np.array(ends) - [(40, 100), (210, 120)]).max() < 0.3


def test_ticks_across_an_outline_keep_both_halves() -> None:
    web = found(drawn([(BODICE, True), ([(33, 120), (48, 120)], False)]))
    assert np.hypot(*(web.nodes - (33, 120)).T).min() < 0.8
    assert np.hypot(*(web.nodes - (48, 120)).T).min() < 0.5
    assert np.hypot(*(web.nodes - (40, 120)).T).min() < 0.2


@pytest.mark.parametrize(
    ("colour", "width", "hue"),
    [
        ((0.7, 0.05, 0.05), 4.0, "red"),
        ((0.05, 0.1, 0.6), 3.0, "blue"),
        ((0.03, 0.35, 0.08), 5.0, "green"),
        ((0.85, 0.35, 0.03), 4.0, "orange"),
        ((0.3, 0.3, 0.3), 1.0, "pencil"),
    ],
)
def test_coloured_markers_and_pencil_are_ink(
    colour: tuple[float, float, float], width: float, hue: str
) -> None:
    table = DrawnTable(260, 260)
    table.line(BODICE, width, colour, closed=True)
    web = found(table)
    (ring,) = web.strands
    assert np.percentile(off(web, [(BODICE, True)]), 95) < 0.12
    _, a, b = ring.colour
    assert {
        "red": a > 30,
        "blue": b < -25,
        "green": a < -20,
        "orange": b > 30 and a > 10,
        "pencil": abs(a) + abs(b) < 15,
    }[hue]


def test_brown_paper_in_noise_and_uneven_light() -> None:
    table = DrawnTable(260, 260, paper=(0.45, 0.33, 0.22))
    table.line(BODICE, closed=True)
    web = found(table, noise=0.04, uneven=0.6, blur=0.5)
    assert len(web.strands) == 1
    assert np.percentile(off(web, [(BODICE, True)]), 95) < 0.15


def test_two_lines_that_touch_side_by_side_stay_two() -> None:
    x = np.linspace(20, 300, 100)
    ways = [
        (np.column_stack((x, 100 + 0 * x)), False),
        (np.column_stack((x, 103 + ((x - 160) / 42) ** 2)), False),
    ]
    table = DrawnTable(320, 200)
    table.line(ways[0][0], colour=(0.05, 0.05, 0.05))
    table.line(ways[1][0], colour=(0.6, 0.05, 0.05))
    web = found(table)
    assert len(web.strands) == 2
    assert np.percentile(off(web, ways), 95) < 0.2  # type: ignore[arg-type]


def test_a_floor_with_seams_and_the_papers_edge_are_no_ink() -> None:
    table = DrawnTable(620, 460)
    way = [(x + 170, y + 100) for x, y in BODICE]
    table.line(way, closed=True)
    table.floor((175, 105, 380, 350))
    table.card(1, 10, 20, 0.1)
    table.card(2, 440, 30)
    table.card(3, 430, 330, -0.1)
    web = found(table)
    assert len(web.strands) == 1
    assert off(web, [(way, True)]).max() < 0.5


def test_dots_and_crosses_for_drill_holes_are_kept_and_specks_are_not() -> None:
    table = drawn([(BODICE, True), ([(80, 100), (90, 100)], False), ([(85, 95), (85, 105)], False)])
    table.line([(120, 100), (120.01, 100)], 5.0)
    table.line([(100, 150), (101.5, 150.5)], 1.2)
    web = found(table)
    middles = np.array(
        [s.points.mean(axis=0) for s in web.strands if s.ring and len(s.points) < 30]
    )
    assert middles == pytest.approx(np.array([[120, 100]]), abs=0.3)
    assert np.hypot(*(web.nodes - (85, 100)).T).min() < 0.5
    assert vertex_off(web, (100.7, 150.2)) > 5


def gapped(clear: float, width: float = 4.0) -> DrawnTable:
    """A square whose lower side has a gap of bare paper."""
    half = (clear + width) / 2
    way: Way = [(130 + half, 40), (220, 40), (220, 220), (40, 220), (40, 40), (130 - half, 40)]
    return drawn([(way, False)], width=width)


@pytest.mark.parametrize("clear", [1.5, 5.0, 6.0])
def test_a_gap_up_to_six_millimetres_is_closed_and_told(clear: float) -> None:
    doubts = Doubts()
    web = found(gapped(clear), doubts)
    (bridge,) = [s for s in web.strands if s.bridged]
    assert np.hypot(*(bridge.points.mean(axis=0) - (130, 40))) < 0.5
    (doubt,) = doubts.found
    told = float(doubt.text.split(" mm")[0].split()[-1])
    assert told == pytest.approx(clear, abs=0.4)
    assert doubt.table_spots


@pytest.mark.parametrize("clear", [7.0, 8.0, 25.0])
def test_a_longer_gap_in_an_outline_is_refused_with_its_place(clear: float) -> None:
    with pytest.raises(CaptureError, match=rf"gap of {clear:.0f} mm") as caught:
        found(gapped(clear))
    assert caught.value.code == "gap"
    (spot,) = caught.value.table_spots
    assert np.hypot(*(spot.points.mean(axis=0) - (130, 40))) < 1
    assert "marker" in caught.value.remedy


@pytest.mark.parametrize(("clear", "closed"), [(4.0, True), (9.0, False)])
def test_a_gap_beside_a_corner_is_a_gap(clear: float, closed: bool) -> None:
    start = 40 + clear + 4.0
    way: Way = [(start, 40), (220, 40), (220, 220), (40, 220), (40, 40)]
    if closed:
        web = found(drawn([(way, False)]))
        assert [s.bridged for s in web.strands].count(True) == 1
        assert vertex_off(web, (40, 40)) < 0.5
    else:
        with pytest.raises(CaptureError, match="gap of 9 mm"):
            found(drawn([(way, False)]))


def test_inner_lines_may_end_where_they_like() -> None:
    grain: Way = [(90, 70), (90, 180)]
    ticks: list[tuple[Way, bool]] = [
        ([(40, 100), (52, 100)], False),
        ([(150, 60), (150, 75)], False),
    ]
    doubts = Doubts()
    web = found(drawn([(BODICE, True), (grain, False), *ticks]), doubts)
    assert doubts.found == []
    assert not any(s.bridged for s in web.strands)


def test_a_line_that_stops_just_before_another_reaches_its_middle() -> None:
    doubts = Doubts()
    web = found(drawn([(BODICE, True), ([(90, 50), (90, 130)], False)]), doubts)
    assert [s.bridged for s in web.strands].count(True) == 1
    assert np.hypot(*(web.nodes - (90, 41.5)).T).min() < 0.5


def test_dashes_are_one_line() -> None:
    table = DrawnTable(260, 200)
    for k in range(12):
        table.line([(20 + 17 * k, 100), (28 + 17 * k, 100)], 4.0)
    doubts = Doubts()
    web = found(table, doubts)
    (line,) = web.strands
    assert not line.bridged
    assert sorted(line.points[[0, -1], 0].round()) == [20, 215]
    assert doubts.found == []


def test_a_line_that_runs_out_of_the_picture_is_refused() -> None:
    table = drawn([(BODICE, True)])
    seen = np.ones((table.rows, table.columns), bool)
    seen[:, : round(60 / table.pitch)] = False
    with pytest.raises(CaptureError, match="too tight") as caught:
        look(table, table.flattened(seen=seen))
    assert caught.value.code == "cropped"
    assert len(caught.value.table_spots) == 2
    assert all(abs(spot.points[:, 0].mean() - 61) < 3 for spot in caught.value.table_spots)


def test_a_card_on_the_line_is_refused() -> None:
    table = drawn([(BODICE, True)], size=400)
    table.card(1, 150, 60)
    with pytest.raises(CaptureError, match="card covers") as caught:
        found(table)
    assert caught.value.code == "covered"


@pytest.mark.parametrize("strength", [0.0, 0.05])
def test_paper_without_ink_is_refused_with_what_to_do(strength: float) -> None:
    table = DrawnTable(260, 260)
    table.line(BODICE, 8.0, closed=True, strength=strength)
    with pytest.raises(CaptureError, match="no ink") as caught:
        found(table, blur=2.0)
    assert "marker" in caught.value.remedy


def test_the_stated_uncertainty_is_about_the_error() -> None:
    table = drawn([(BODICE, True)])
    web = found(table, noise=0.08, blur=0.4)
    (ring,) = web.strands
    error = float(np.sqrt(np.mean(off(web, [(BODICE, True)]) ** 2)))
    assert error / 3 < ring.unsure < 4 * error + 0.03
