"""Runs of outlines become few strokes, with nothing lost, doubled or bridged."""

from __future__ import annotations

import dataclasses

from tests.strategies import rectangular
from tiler.pattern.affine import Point
from tiler.pattern.model import AND, Edge, Lies, Role, Run
from tiler.pattern.path import polyline
from tiler.sheets.pens import CUT, FOLD, style_pen
from tiler.sheets.runstrokes import run_strokes

EDGES = rectangular("Front", 100, 200).outlines[0].edges


def runs_of(edges: tuple[Edge, ...], style: str = "") -> list[Run]:
    return [Run(Role.CUT, edge, style) for edge in edges]


def test_a_ring_is_one_closed_stroke() -> None:
    """Dashes run on round every corner."""
    (stroke,) = run_strokes(runs_of(EDGES), ())
    (path,) = stroke.paths
    assert path.closed
    assert len(path.segments) == 4
    assert stroke.pen == CUT


def test_a_fold_parts_the_ring_and_the_rest_goes_on_over_its_first_corner() -> None:
    """With the fold as edge B, edges C, D and A are one stroke."""
    edges = (EDGES[0], dataclasses.replace(EDGES[1], lies=Lies.FOLD), *EDGES[2:])
    strokes = run_strokes(runs_of(edges), ())
    told = {stroke.pen: stroke.paths[0] for stroke in strokes}
    assert set(told) == {CUT, FOLD}
    assert told[CUT].start == EDGES[2].path.start
    assert told[CUT].end == EDGES[0].path.end
    assert not told[CUT].closed


def test_runs_that_do_not_meet_stay_apart() -> None:
    """No line is drawn over the edges that other styles have there."""
    strokes = run_strokes(runs_of((EDGES[0], EDGES[2])), ())
    assert [stroke.paths[0] for stroke in strokes] == [EDGES[0].path, EDGES[2].path]


def test_a_line_of_two_styles_has_the_dashes_of_both() -> None:
    """One after the other, so that it is neither the one's line nor the other's."""
    both = AND.join(("long", "short"))
    order = ("long", "short")
    straight = Edge("A", polyline([Point(0, 0), Point(0, 90)]))
    (stroke,) = run_strokes(runs_of((straight,), both), order)
    single = [style_pen(CUT, order, style).dash for style in order]
    assert stroke.pen.dash == single[0] + single[1]
