"""The demo pieces, whose cut and stitch lines were both drawn from their own drafting sums."""

import math

import pytest
import shapely

from tests.demos import pattern_of_demo
from tests.drafting.allowance.making import all_of, as_role, ring_of
from tiler.drafting.allowance import Finish, cut_outline, stitch_outline
from tiler.intake.edges import edges_of
from tiler.pattern.model import Edge, Lies, Outline, Piece, Role
from tiler.pattern.path import Path, polyline

#: Their coordinates are written to a thousandth, and their curves fitted, as ours are, to 0.02.
NEAR = 0.05


def piece_of(demo: str, name: str) -> Piece:
    return next(piece for piece in pattern_of_demo(demo).pieces if piece.name == name)


def stitch_of(piece: Piece) -> Outline:
    """Its stitch line; where that is open it ends on a fold, which closes it as the hem."""
    path = next(line.path for line in piece.lines if line.role is Role.STITCH)
    gap = path.start.to(path.end) > 0.01
    closed = (*path.segments, *polyline([path.end, path.start]).segments) if gap else path.segments
    edges = edges_of(Path(closed, closed=True))
    hem = next((e.letter for e in edges if gap and _joins(e, path)), "")
    return Outline(
        Role.STITCH,
        tuple(
            Edge(e.letter, e.path, Lies.HEM if e.letter == hem else Lies.SEWN, e.name)
            for e in edges
        ),
    )


def _joins(edge: Edge, path: Path) -> bool:
    ends = {edge.path.start, edge.path.end}
    return ends == {path.start, path.end}


def apart(made: Outline, drawn: Outline, clear: float) -> float:
    """The largest distance from one cut line to the other, away from the drawn corners."""
    theirs = shapely.LinearRing(drawn.path.flattened(0.002))
    corners = shapely.MultiPoint([edge.path.start for edge in made.edges])
    points = [
        shapely.Point(point)
        for edge in made.edges
        for point in edge.path.flattened(0.05)
        if corners.distance(shapely.Point(point)) >= clear
    ]
    assert points
    return max(theirs.distance(point) for point in points)


@pytest.mark.parametrize(
    ("demo", "name", "width"),
    [
        ("apron", "Armhole facing", 10),
        ("trousers", "Knee patch", 10),
        ("hat", "Crown panel", 10),
    ],
)
def test_one_width_all_round(demo: str, name: str, width: float) -> None:
    piece = piece_of(demo, name)
    stitch = stitch_of(piece)
    made = cut_outline(stitch, all_of(stitch, width))
    assert apart(made, piece.outlines[0], 0.0 if name != "Crown panel" else 4 * width) < NEAR


@pytest.mark.parametrize(("demo", "name"), [("smock", "Sleeve"), ("trousers", "Front")])
def test_hems_that_turn_up(demo: str, name: str) -> None:
    """15 mm round, 40 mm of hem, mirrored at both sides: corners and all."""
    piece = piece_of(demo, name)
    stitch = stitch_of(piece)
    letters = [edge.letter for edge in stitch.edges]
    at = next(i for i, edge in enumerate(stitch.edges) if edge.lies is Lies.HEM)
    hem, before, after = letters[at], letters[at - 1], letters[(at + 1) % len(letters)]
    widths = all_of(stitch, 15) | {hem: 40.0}
    turned_up = {(before, hem): Finish.REFLECTED, (hem, after): Finish.REFLECTED}
    made = cut_outline(stitch, widths, turned_up)
    assert apart(made, piece.outlines[0], 0.0) < NEAR
    assert math.isclose(made.area, piece.outlines[0].area, rel_tol=2e-4)


def test_from_the_cut_line_to_the_stitch_line() -> None:
    piece = piece_of("apron", "Armhole facing")
    cut = as_role(ring_of([edge.path for edge in piece.outlines[0].edges]), Role.CUT)
    made = stitch_outline(cut, all_of(cut, 10))
    assert apart(made, as_role(stitch_of(piece), Role.STITCH), 0.0) < NEAR
