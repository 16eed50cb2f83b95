"""Pieces whose cut and stitch lines were both drawn by drafting sums of their own.

What the sums are, and that they share no code with ours, is said in `tests/data/drawn_by_sums`.
"""

from __future__ import annotations

import pytest
import shapely

from tests.demos import drawn_by_sums
from tests.drafting.allowance.making import all_of, as_role, ring_of
from tiler.drafting.allowance import CornerFinish, Finish, cut_outline, stitch_outline
from tiler.intake.edges import edges_of
from tiler.pattern.model import Edge, Lies, Outline, Piece, Role
from tiler.pattern.path import Path

#: Their coordinates are written to a thousandth, and their curves fitted, as ours are, to 0.02.
NEAR = 0.05
UP = {"before": CornerFinish(Finish.REFLECTED), "hem": CornerFinish(Finish.REFLECTED, first=False)}


def stitch_of(piece: Piece) -> Outline:
    """Its stitch line; one that is open is closed by the line on which the hem turns up."""
    path = max((x.path for x in piece.lines if x.role is Role.STITCH), key=lambda x: x.length)
    if path.start.to(path.end) < 0.01:
        edges = edges_of(Path(path.segments, closed=True))
        return Outline(Role.STITCH, tuple(Edge(e.letter, e.path) for e in edges))
    ends = {path.start, path.end}
    folds = [x.path for x in piece.lines if x.role is Role.FOLD]
    (hem,) = [fold for fold in folds if {fold.start, fold.end} == ends]
    hem = hem if hem.start == path.end else hem.reversed()
    edges = edges_of(Path((*path.segments, *hem.segments), closed=True))
    return Outline(
        Role.STITCH,
        tuple(
            Edge(e.letter, e.path, Lies.HEM if e.path.start == hem.start else Lies.SEWN)
            for e in edges
        ),
    )


def apart(made: Outline, drawn: Outline, clear: float = 0.0) -> float:
    """The largest distance between two lines either way, away from the stitch corners."""
    ours, theirs = (shapely.LinearRing(o.path.flattened(0.002)) for o in (made, drawn))
    corners = shapely.MultiPoint([edge.path.start for edge in made.edges])
    worst = []
    for one, other in ((ours, theirs), (theirs, ours)):
        points = shapely.points(one.segmentize(1.0).coords)
        points = points[shapely.distance(points, corners) >= clear]
        assert len(points) > 20
        worst.append(shapely.distance(points, other).max())
    return float(max(worst))


@pytest.mark.parametrize(
    ("demo", "drawing", "width", "clear"),
    [
        ("apron", "armhole_facing", 10.0, 0.0),
        ("trousers", "knee_patch", 10.0, 0.0),
        # Its tip is cut off straight there, which is a shape of its own.
        ("hat", "crown_panel", 10.0, 40.0),
        ("trousers", "placket_underlap", 15.0, 0.0),
    ],
)
def test_one_width_all_round(demo: str, drawing: str, width: float, clear: float) -> None:
    piece = drawn_by_sums(demo, f"{drawing}.svg")
    stitch = stitch_of(piece)
    made = cut_outline(stitch, all_of(stitch, width))
    assert apart(made, piece.outlines[0], clear) < NEAR


@pytest.mark.parametrize(("demo", "drawing"), [("smock", "sleeve"), ("trousers", "front")])
def test_hems_that_turn_up(demo: str, drawing: str) -> None:
    """15 mm round, 40 mm of hem, mirrored at both sides: corners and all."""
    piece = drawn_by_sums(demo, f"{drawing}.svg")
    stitch = stitch_of(piece)
    letters = [edge.letter for edge in stitch.edges]
    at = next(i for i, edge in enumerate(stitch.edges) if edge.lies is Lies.HEM)
    hem, before = letters[at], letters[at - 1]
    turned_up = {before: UP["before"], hem: UP["hem"]}
    made = cut_outline(stitch, all_of(stitch, 15) | {hem: 40.0}, turned_up)
    assert apart(made, piece.outlines[0]) < NEAR
    assert made.area == pytest.approx(piece.outlines[0].area, rel=2e-4)


def test_from_the_cut_line_to_the_stitch_line() -> None:
    piece = drawn_by_sums("apron", "armhole_facing.svg")
    cut = as_role(ring_of([edge.path for edge in piece.outlines[0].edges]), Role.CUT)
    made = stitch_outline(cut, all_of(cut, 10))
    assert apart(made, as_role(stitch_of(piece), Role.STITCH)) < NEAR
