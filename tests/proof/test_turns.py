"""Pieces turned by any angle: what the digits in a file may cost, and what is measured of it."""

from __future__ import annotations

import json
import math
from itertools import pairwise
from pathlib import Path as File

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from publication_builder import Draft, draft, recorded

from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Line, Outline, Pattern, Piece, Role, Source
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, Straight
from tiler.proof import prove
from tiler.sheets.drawing import Attachment, Drawing, Group, Page, Pen, Publication, Stroke, Use

ANGLES = st.floats(-180, 180)
SIDE = 4000.0
LINE = Pen(0.5)


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(turn=ANGLES, x=st.floats(-3, 3), y=st.floats(-3, 3))
def test_any_turn_is_proven_and_a_turn_besides_is_measured(
    tmp_path: File, turn: float, x: float, y: float
) -> None:
    """The pocket turned about its middle, well within page B2."""
    paper = draft()
    at = Affine.move(-30, -35).then(Affine.turn(turn)).then(Affine.move(195 + x, 65 + y))
    paper.placements["Pocket"] = at
    verdict = prove(recorded(paper).write(tmp_path), paper.pattern)
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.worst < 1e-5
    # A point turns about the corner of the page: the farther away, the farther off. The handles
    # of the rounded corner count as well, for they bound the curve.
    off = 0.2
    away = Affine.turn(off)
    paper.pages["B2"].moved["Pocket"] = away
    verdict = prove(paper.write(tmp_path), paper.pattern)
    ox, oy = paper.pages["B2"].origin
    points = ((0, 0), (0, 70), (60, 70), (60, 10), (60, 4), (56, 0), (50, 0))
    far = max(math.hypot(px - ox, py - oy) for px, py in (at(Point(*point)) for point in points))
    assert verdict.worst == pytest.approx(2 * far * math.sin(math.radians(off / 2)), abs=0.001)


def large_piece(dice: np.random.Generator) -> Piece:
    """A band of 3 m, its numbers with all digits."""
    x = np.sort(dice.uniform(0, 3000, 7))
    x[0], x[-1] = 0.0, 3000.0
    y = dice.uniform(0, 400, 14)
    bottom = [Point(float(a), float(b)) for a, b in zip(x, y[:7], strict=True)]
    top = [Point(float(a), float(b) + 500) for a, b in zip(x, y[7:], strict=True)]
    curves = tuple(
        Cubic(a, Point(a.x + (b.x - a.x) / 3, a.y + 40), Point(b.x - 7.123456, b.y - 30), b)
        for a, b in pairwise(top)
    )
    edges = (
        Edge("A", Path((Straight(bottom[0], top[0]),))),
        Edge("B", Path(curves)),
        Edge("C", polyline([top[-1], *reversed(bottom)])),
    )
    line = Line(Role.INSIDE, polyline([Point(1 / 3, 600 + 1 / 7), Point(2999 + 2 / 3, 555.55555)]))
    return Piece("Band", (Outline(Role.CUT, edges),), lines=(line,))


def as_published(piece: Piece, at: Affine) -> Publication:
    """One huge page, through the writer that publishes patterns."""
    paths = (*(edge.path for edge in piece.outlines[0].edges), piece.lines[0].path)
    drawing = Drawing(piece.bounds.grown(5), (Stroke(paths, LINE),), "Band")
    origin = Point(-SIDE / 2, -SIDE / 2)
    to_page = Affine.move(-origin.x, -origin.y)
    window = Bounds(10, 10, SIDE - 10, SIDE - 10)
    record = {
        "format": 3,
        "digest": Pattern("", (), sources=SOURCES).digest,
        "page": [SIDE, SIDE],
        "window": list(window),
        "pitch": [SIDE - 30, SIDE - 30],
        "rows": 1,
        "columns": 1,
        "pages": [{"name": "A1", "row": 0, "column": 0, "origin": list(origin)}],
        "placements": [{"piece": "Band", "matrix": list(at)}],
        "layers": [
            {"layer": "Band", "piece": "Band"},
            {"layer": "Page marks", "use": "marks"},
            {"layer": "Words", "use": "words"},
        ],
        "styles": [],
        "pieces": [],
        "joint": "butt",
    }
    return Publication(
        "Band",
        "",
        "",
        (
            Page("start", SIDE, SIDE, (square(100.0), square(101.6))),
            Page(
                "A1",
                SIDE,
                SIDE,
                (
                    Group((Use(drawing, at.then(to_page)),), window=window),
                    bar(100.0, 0.0),
                    bar(0.0, 100.0),
                ),
            ),
        ),
        layers=("Band", "Page marks", "Words"),
        attachments=(
            Attachment("blocksheet.json", json.dumps(record).encode(), "Data", "application/json"),
            Attachment(SOURCES[0].name, SOURCES[0].content, "Source", "application/toml"),
        ),
    )


SOURCES = (Source("pattern.toml", b"# stands for the maker's own file\n"),)


def square(side: float) -> Group:
    corners = [Point(0, 0), Point(side, 0), Point(side, side), Point(0, side)]
    return measured(polyline(corners, closed=True), side, side)


def bar(width: float, height: float) -> Group:
    return measured(polyline([Point(5, 5), Point(5 + width, 5 + height)]), width, height)


def measured(path: Path, width: float, height: float) -> Group:
    facts = (("Measure", (width, height)),)
    return Group((Stroke((path,), Pen(0.2)),), furniture=True, facts=facts)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(turn=ANGLES, seed=st.integers(0, 1000))
def test_digits_in_the_file_cost_a_piece_of_three_metres_nothing(
    tmp_path: File, turn: float, seed: int
) -> None:
    """The writer's 9 digits of a turn and 4 of a millimetre: 3 m x 0.5e-9 and 0.05 um by far.

    Each coordinate of a point may be off by half its last digit, 0.05 um, and so may the shift:
    in the worst direction 0.05 x (sqrt 2 + sqrt 2) = 0.14 um, and 2 x 3 m x 0.5e-9 = 3 nm more.
    """
    piece = large_piece(np.random.default_rng(seed))
    middle = Affine.move(-1500, -450)
    at = middle.then(Affine.turn(turn)).then(Affine.move(100 / 3, -200 / 7))
    file = tmp_path / "band.pdf"
    file.write_bytes(pdf_bytes(as_published(piece, at)))
    verdict = prove(file, Pattern("Band", (piece,), sources=SOURCES))
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.worst < 0.00015


@pytest.mark.parametrize("wrong", [1e-8, 1e-6])
def test_a_placement_that_is_no_turn_to_the_last_digits(
    paper: Draft, tmp_path: File, wrong: float
) -> None:
    turn = Affine.turn(33.3)
    paper.placements["Pocket"] = turn._replace(a=turn.a + wrong, e=190.0, f=40.0)
    texts = [str(fault) for fault in prove(recorded(paper).write(tmp_path), paper.pattern).faults]
    assert texts == ["Pocket: the piece is stretched or slanted where it is laid down"]
