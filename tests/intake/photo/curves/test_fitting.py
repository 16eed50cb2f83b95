"""A tracing becomes a drawing that reads as a piece."""

import time

import numpy as np
import pytest
import shapely

from tests.intake.photo.ink.inked import (
    SMOCK,
    Array,
    arc,
    bezier,
    ring_of,
    shaken,
    spaced,
    straight,
)
from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.nearest import nearest
from tiler.intake.photo.curves.fitting import fitted, misfit
from tiler.intake.photo.model import Kind, Traced, Tracing
from tiler.intake.piece import piece_from
from tiler.intake.words.model import PieceWords
from tiler.pattern.affine import Point
from tiler.pattern.model import Finding, Lies, Piece, Role
from tiler.pattern.segment import Cubic, Straight


def traced(kind: Kind, points: Array, **more: object) -> Traced:
    return Traced(kind, points, more.pop("closed", False), **more)  # type: ignore[arg-type]


def outline(noise: float = 0.1, seed: int = 5) -> Traced:
    points, corners = ring_of(SMOCK, noise, seed)
    return traced(Kind.OUTLINE, points, closed=True, corners=corners)


def drawn(*lines: Traced) -> tuple[DrawnPath, ...]:
    return fitted(Tracing(lines))


def read(*lines: Traced) -> tuple[Piece, dict[str, Finding]]:
    sheet = DrawnSheet("smock.svg", 300, 700, drawn(*lines), ())
    piece, findings = piece_from(sheet, PieceWords("Front", "smock.svg"))
    return piece, {finding.code: finding for finding in findings}


@pytest.mark.parametrize("noise", [0.0, 0.05, 0.15])
def test_a_half_front_has_its_edges_and_corners(noise: float) -> None:
    (only,) = drawn(outline(noise))
    corners = [tuple(edge[0]) for edge in SMOCK]
    starts = [segment.start for segment in only.path.segments]
    assert [start for start in starts if start in corners] == corners
    assert len(starts) <= len(SMOCK) + 2
    assert [type(s) for s in only.path.segments][:2] == [Straight, Cubic]
    assert only.path.closed
    assert only.role is None
    piece, findings = read(outline(noise))
    assert len(piece.outlines[0].edges) == len(SMOCK)
    assert set(findings) == {"outline-role-assumed"}


def test_the_half_front_is_where_it_truly_is() -> None:
    true = shapely.LineString(np.vstack(SMOCK))
    (only,) = drawn(outline(0.15))
    off = shapely.distance(shapely.points(only.path.flattened(0.005)), true)
    assert np.sqrt(np.mean(off**2)) < 0.06
    assert off.max() < 0.2


def test_misfit_is_the_noise_that_was_put_in() -> None:
    line = outline(0.1)
    rms, worst = misfit(line, drawn(line)[0].path)
    assert 0.09 < rms < 0.11
    assert 0.25 < worst < 0.5


def test_a_corner_of_small_turn_is_marked() -> None:
    turned = Point(100, 0), Point(200, 30)
    edges = (
        straight((0, 0), turned[0]),
        straight(turned[0], turned[1]),
        straight(turned[1], (200, 200)),
        straight((200, 200), (0, 200)),
        straight((0, 200), (0, 0)),
    )
    points, corners = ring_of(edges, 0.1, 2)
    line = traced(Kind.OUTLINE, points, closed=True, corners=corners)
    marks = [each for each in drawn(line) if each.corner]
    assert [mark.path.bounds.centre for mark in marks] == [pytest.approx((100, 0), abs=1e-9)]
    piece, _ = read(line)
    assert len(piece.outlines[0].edges) == 5


def test_a_fold_lies_exactly_on_the_edge() -> None:
    fold = traced(Kind.FOLD, shaken(spaced(straight((0.8, 592), (-0.5, 5))), 0.2, 9))
    paths = drawn(outline(), fold)
    edge = next(s for s in paths[0].path.segments if s.start == (0, 598))
    assert {*paths[1].path.nodes()} == {edge.start, edge.end}
    piece, _ = read(outline(), fold)
    assert [e.lies for e in piece.outlines[0].edges].count(Lies.FOLD) == 1


def test_a_fold_edge_that_bows_a_little_is_made_straight() -> None:
    bowed = (*SMOCK[:-1], bezier((0, 598), (0.9, 400), (0.9, 200), (0, 0)))
    points, corners = ring_of(bowed, 0.1, 4)
    line = traced(Kind.OUTLINE, points, closed=True, corners=corners)
    fold = traced(Kind.FOLD, spaced(bowed[-1]))
    assert isinstance(drawn(line)[0].path.segments[-1], Cubic)
    assert drawn(line, fold)[0].path.segments[-1] == Straight(Point(0, 598), Point(0, 0))


@pytest.mark.parametrize(
    "points",
    [
        straight((250.9, 250), (241, 250.5)),
        straight((255, 250), (243, 250)),
        straight((241, 250.5), (250.9, 250)),
    ],
    ids=["from the line", "across the line", "towards the line"],
)
def test_a_notch_stands_exactly_on_the_fitted_outline(points: Array) -> None:
    paths = drawn(outline(), traced(Kind.NOTCH, spaced(points)))
    (stroke,) = paths[1].path.segments
    assert isinstance(stroke, Straight)
    assert nearest(paths[0].path, stroke.start).distance < 1e-6
    piece, findings = read(outline(), traced(Kind.NOTCH, spaced(points)))
    assert piece.marks[0].at.to(Point(251, 250)) < 0.6
    assert "notch-off-outline" not in findings


def test_a_drill_mark_is_where_its_middle_was() -> None:
    piece, _ = read(outline(), traced(Kind.DRILL, arc(1.5, 0, 359, (150, 300))[::200], closed=True))
    (mark,) = piece.marks
    assert mark.role is Role.DRILL
    assert mark.at.to(Point(150, 300)) < 0.05


def test_a_grainline_is_one_straight_line() -> None:
    piece, _ = read(
        outline(), traced(Kind.GRAIN, shaken(spaced(straight((100, 100), (101, 400))), 0.2, 1))
    )
    assert piece.grain is not None
    assert piece.grain.start.to(Point(100, 100)) < 0.3
    assert piece.grain.end.to(Point(101, 400)) < 0.3


def test_the_legs_of_a_dart_end_on_the_outline() -> None:
    legs = straight((100, 3.7), (115, 120)), straight((115, 120), (130, 4.6))
    points = np.vstack((spaced(legs[0])[:-1], spaced(legs[1])))
    corner = (len(spaced(legs[0])) - 1,)
    paths = drawn(outline(), traced(Kind.DART, points, corners=corner))
    dart = paths[1]
    assert dart.role is Role.DART
    assert [type(s) for s in dart.path.segments] == [Straight, Straight]
    assert dart.path.segments[0].end == (115, 120)
    for end in (dart.path.start, dart.path.end):
        assert nearest(paths[0].path, end).distance < 1e-6


def test_a_line_inside_keeps_its_style_and_says_which_it_is() -> None:
    line = traced(Kind.INSIDE, spaced(bezier((30, 300), (60, 330), (120, 330), (150, 300))))
    styled = Traced(line.kind, line.points, False, style="long")
    paths = drawn(outline(), styled)
    assert (paths[1].role, paths[1].style) == (Role.INSIDE, "long")
    assert paths[1].element == "line 1 in the photo, style long"
    assert len(paths[1].path.segments) == 1


def nested(noise: float, backwards: bool) -> tuple[Traced, Traced]:
    """Two styles that share all but the hem: the long one's sides go on from the short one's."""
    hem = straight((0, -60), (262, -52))
    sides = (straight((262, -52), (260, 8)), straight((0, 0), (0, -60)))
    shared = [shaken(spaced(edge), noise, n) for n, edge in enumerate(SMOCK[1:])]
    top = np.vstack([edge[:-1] for edge in shared])
    short = np.vstack((top, shaken(spaced(SMOCK[0]), noise, 20)[:-1]))
    lower = [
        shaken(spaced(edge), noise, 30 + n) for n, edge in enumerate((sides[1], hem, sides[0]))
    ]
    long = np.vstack((top, *(edge[:-1] for edge in lower)))
    ends = np.cumsum([0, *(len(edge) - 1 for edge in shared)]).tolist()
    # On the long one, the fold and the side seam go on where the short one has its corners.
    below = [ends[-1] + len(lower[0]) - 1, ends[-1] + len(lower[0]) + len(lower[1]) - 2]
    corners = (*ends[1:-1], *below)
    if backwards:
        corners = tuple(sorted(len(long) - 1 - c for c in corners))
        long = long[::-1].copy()
    return (
        Traced(Kind.OUTLINE, short, True, tuple(ends), "short"),
        Traced(Kind.OUTLINE, long, True, corners, "long"),
    )


@pytest.mark.parametrize("backwards", [False, True])
def test_what_styles_share_comes_out_the_same(backwards: bool) -> None:
    short, long = (each.path for each in drawn(*nested(0.1, backwards)))
    if backwards:
        long = long.reversed()
    # All edges but the hem, the same to the last digit: what is drawn once is cut once.
    shared = short.segments[:-1]
    first = long.segments.index(shared[0])
    assert (long.segments[first:] + long.segments[:first])[: len(shared)] == shared


def test_styles_that_part_smoothly_have_no_kink_there() -> None:
    # From the same beginning, one line goes on in an arc of 80 and one in an arc of 140.
    shared = shaken(spaced(straight((-150, 0), (0, 0))), 0.05, 1)
    outlines = []
    for radius, style in ((80, "slim"), (140, "wide")):
        bow = shaken(spaced(arc(radius, -90, 0, (0, radius))), 0.05, radius)
        rest = spaced(straight(tuple(bow[-1]), (-150, 250)))
        down = spaced(straight((-150, 250), (-150, 0)))
        points = np.vstack((shared[:-1], bow[:-1], rest[:-1], down[:-1]))
        first = len(shared) + len(bow) - 2
        corners = (0, first, first + len(rest) - 1)
        outlines.append(Traced(Kind.OUTLINE, points, True, corners, style))
    slim, wide = (each.path for each in drawn(*outlines))
    assert len(set(slim.segments) & set(wide.segments)) == 2
    piece, _ = read(*outlines)
    assert [len(each.edges) for each in piece.outlines] == [3, 3]


def test_an_outline_of_three_metres_is_fitted_in_half_a_second() -> None:
    points, corners = ring_of(tuple(1.5 * edge for edge in SMOCK), 0.1, 8)
    line = traced(Kind.OUTLINE, points, closed=True, corners=corners)
    assert len(points) > 2500
    drawn(line)
    start = time.process_time()
    drawn(line)
    assert time.process_time() - start < 0.5
