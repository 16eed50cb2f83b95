"""Which windows show a pattern on a mat: nothing is left out, and neighbours share enough."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tests.demos import DEMOS, pattern_of_demo
from tests.drawing import draws
from tiler.layout.ink import paths_of
from tiler.layout.mats.crosses import REACH, crosses_of
from tiler.layout.mats.stepping import OVERLAP, counted, stepped
from tiler.layout.mats.turning import Laid, turned
from tiler.layout.mats.windows import GAP, Series, series_of, shown_in
from tiler.layout.units import units_of
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Outline, Piece, Role
from tiler.pattern.path import Path, polyline, rectangle

FIELD = Bounds(6.0, 6.0, 906.0, 556.0)
sizes = st.floats(10.0, 4000.0)


def piece_of(width: float, height: float, grain: Path | None = None, name: str = "P") -> Piece:
    ring = rectangle(Bounds(0, 0, width, height)).reversed()
    return Piece(name, (Outline(Role.CUT, (Edge("A", ring),)),), grain=grain)


def laid_of(width: float, height: float, name: str) -> Laid:
    return Laid((piece_of(width, height, name=name),), STILL, Bounds(0, 0, width, height))


@given(sizes, sizes)
def test_windows_cover_all_and_neighbours_share_the_overlap(width: float, height: float) -> None:
    """Every window is as large as the field; each shares a side with the one before it."""
    box = Bounds(0, 0, width, height)
    windows = stepped(box, FIELD)
    seen = shapely.union_all([shapely.box(*window.lies) for window in windows])
    assert seen.buffer(1e-6).covers(shapely.box(*box))
    for one, other in pairwise(windows):
        shared = one.lies.cut(other.lies)
        assert abs(one.column - other.column) + abs(one.row - other.row) == 1
        assert min(shared.width, shared.height) >= OVERLAP - 1e-6
    assert [window.number for window in windows] == list(range(1, len(windows) + 1))


@given(sizes, st.floats(100.0, 2000.0))
def test_no_fewer_windows_would_do(length: float, shown: float) -> None:
    """One less would cover less: n windows reach n times the field less n - 1 overlaps."""
    count = counted(length, shown)
    assert count * shown - (count - 1) * OVERLAP >= length - 1e-5
    assert count == 1 or (count - 1) * shown - (count - 2) * OVERLAP < length + 1e-5


@given(st.floats(0.0, 360.0), st.booleans())
def test_the_upper_end_of_the_grain_points_to_the_right(degrees: float, mirrored: bool) -> None:
    """All pieces lie the same way up on a cloth with a nap, mirrored or not."""
    ray = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    grain = polyline([Point(0, 0), Point(100 * ray[0], 100 * ray[1])])
    shown = turned([piece_of(300, 200, grain)], FIELD, margin=2.0, mirrored=mirrored)
    start, end = shown.at(grain.start), shown.at(grain.end)
    assert end.x - start.x == pytest.approx(100, abs=1e-6)
    assert end.y - start.y == pytest.approx(0, abs=0.01)
    assert shown.at.determinant == pytest.approx(-1 if mirrored else 1)


@given(st.floats(0.0, 180.0))
def test_a_piece_without_grain_takes_the_turn_with_the_fewest_windows(degrees: float) -> None:
    """A strip that fits along the mat is laid along it, however it was drawn."""
    ring = rectangle(Bounds(0, 0, 850, 80)).reversed().moved(Affine.turn(degrees))
    strip = Piece("Strip", (Outline(Role.CUT, (Edge("A", ring),)),))
    box = turned([strip], FIELD, margin=2.0).box
    assert len(stepped(box, FIELD)) == 1


def test_the_grain_is_kept_unless_any_turn_will_do() -> None:
    """Across the grain this one needs two windows, and turned by a quarter one."""
    grain = polyline([Point(40, 10), Point(40, 70)])
    strip = piece_of(850, 80, grain)
    kept = turned([strip], FIELD, margin=2.0)
    freed = turned([strip], FIELD, margin=2.0, any_turn=True)
    assert (len(stepped(kept.box, FIELD)), len(stepped(freed.box, FIELD))) == (2, 1)
    assert kept.at(grain.end).y - kept.at(grain.start).y == pytest.approx(0, abs=1e-9)


@given(st.lists(st.tuples(st.floats(20, 890), st.floats(20, 540)), min_size=1, max_size=12))
def test_small_pieces_share_windows_with_a_gap_and_each_is_shown_once(
    extents: list[tuple[float, float]],
) -> None:
    units = [laid_of(*extent, str(number)) for number, extent in enumerate(extents)]
    series = series_of(units, FIELD)
    names = [each.name for one in series for each in one.laid]
    assert sorted(names) == sorted(unit.name for unit in units)
    for one in series:
        assert len(one.windows) == 1
        boxes = [shapely.box(*each.box) for each in one.laid]
        for number, box in enumerate(boxes):
            assert shapely.box(*one.windows[0].lies).buffer(1e-6).covers(box)
            assert all(box.distance(other) >= GAP - 1e-6 for other in boxes[:number])


def test_one_by_one_gives_each_piece_a_window_of_its_own() -> None:
    units = [laid_of(100, 100, str(number)) for number in range(5)]
    assert len(series_of(units, FIELD)) == 1
    assert len(series_of(units, FIELD, one_by_one=True)) == 5


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("field", [Bounds(0, 0, 1190, 640), Bounds(0, 0, 400, 240)])
def test_every_line_of_a_demo_is_shown_in_true_size(demo: str, field: Bounds) -> None:
    """Over all windows nothing is missing, and no piece is stretched."""
    laid = [turned(unit, field, margin=2.0) for unit in units_of(pattern_of_demo(demo))]
    seen: dict[str, list[shapely.Polygon]] = {}
    for series in series_of(laid, field):
        for window in series.windows:
            for shown in shown_in(series, window, field):
                a, b, c, d, e, f = shown.at
                assert (a * a + b * b, c * c + d * d) == pytest.approx((1, 1))
                back = Affine(d, -b, -c, a, 0, 0)
                shift = back(Point(e, f))
                corners = [Point(*p) for p in field.corners()]
                ring = [(back(p).x - shift.x, back(p).y - shift.y) for p in corners]
                seen.setdefault(shown.piece.name, []).append(shapely.Polygon(ring))
    for piece in pattern_of_demo(demo).pieces:
        whole = shapely.union_all(seen[piece.name]).buffer(1e-6)
        for path in paths_of(piece):
            assert whole.covers(shapely.LineString(path.flattened(0.05)))


def series_of_one(width: float, height: float, field: Bounds) -> Series:
    (series,) = series_of([laid_of(width, height, "Long")], field)
    return series


@draws(8)
@given(st.floats(950.0, 2600.0), st.floats(60.0, 1500.0))
def test_both_windows_show_the_crosses_that_they_share(width: float, height: float) -> None:
    """Each pair of neighbours has two crosses, whole within both, apart from each other."""
    series = series_of_one(width, height, FIELD)
    body = shapely.box(0, 0, width, height)
    crosses = crosses_of(series, body.exterior, body, shapely.Point())
    letters = [cross.letter for cross in crosses]
    assert len(set(letters)) == len(letters)
    windows = {window.number: window for window in series.windows}
    pairs = {(cross.first, cross.second) for cross in crosses}
    assert len(crosses) == 2 * len(pairs)
    assert {(n, n + 1) for n in range(1, len(windows))} <= pairs
    for cross in crosses:
        for number in (cross.first, cross.second):
            inner = shapely.box(*windows[number].lies).buffer(-REACH + 1e-6, join_style="mitre")
            assert inner.covers(shapely.Point(cross.at))
    for one, other in zip(crosses[::2], crosses[1::2], strict=True):
        assert one.at.to(other.at) >= 2 * REACH


def test_crosses_keep_clear_of_lines_and_stand_on_the_cloth_where_they_can() -> None:
    series = series_of_one(1500, 400, FIELD)
    body = shapely.box(0, 0, 1500, 400)
    lines = shapely.union_all([body.exterior, shapely.LineString([(0, 200), (1500, 200)])])
    for cross in crosses_of(series, lines, body, shapely.Point()):
        assert body.contains(shapely.Point(cross.at))
        assert lines.distance(shapely.Point(cross.at)) >= REACH


def test_no_cross_stands_beyond_a_fold() -> None:
    """Beyond the fold of the cloth there is the table."""
    series = series_of_one(1500, 60, FIELD)
    body = shapely.box(0, 0, 1500, 60)
    fold = shapely.LineString([(0, 0), (1500, 0)])
    open_edge = crosses_of(series, body.exterior, body, shapely.Point())
    folded = crosses_of(series, body.exterior, body, fold)
    assert min(cross.at.y for cross in open_edge) < 0
    assert min(cross.at.y for cross in folded) > 0
