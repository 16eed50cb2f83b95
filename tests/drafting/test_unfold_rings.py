"""Stitch rings, runs that styles share, buttons and wedges are opened with the outline.

Outside values: reflection by hand; a half that is opened and folded again is what it was.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest
from hypothesis import given, settings

from tests.drafting.test_unfold import fold_of, half_pieces
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.moving import moved_piece
from tiler.drafting.unfold.whole import unfolded
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import AND, Edge, Lies, Line, Mark, Outline, Piece, Role, Run
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Segment


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def shrunk(outline: Outline, axis: Axis, share: float, role: Role, style: str = "") -> Outline:
    """The outline drawn smaller towards the middle of its fold, which stays in its line."""
    middle = Point((axis.start.x + axis.end.x) / 2, (axis.start.y + axis.end.y) / 2)
    to = Affine.move(-middle.x, -middle.y)
    to = to.then(Affine.scale(share, share)).then(Affine.move(*middle))
    edges = tuple(replace(edge, path=edge.path.moved(to)) for edge in outline.edges)
    return Outline(role, edges, style)


def styled(piece: Piece) -> Piece:
    """The piece in two styles, with stitch rings, and each edge as one or two runs."""
    axis, (outline,) = fold_of(piece), piece.outlines
    wide = replace(outline, style="wide")
    slim = shrunk(outline, axis, 0.8, Role.CUT, "slim")
    stitch = (
        shrunk(outline, axis, 0.95, Role.STITCH, "wide"),
        shrunk(outline, axis, 0.7, Role.STITCH, "slim"),
    )
    runs = []
    for ring in (wide, slim):
        for edge in ring.edges:
            parts = [edge.path]
            if len(edge.path.segments) == 1:
                parts = [Path((part,)) for part in edge.path.segments[0].split(0.3)]
            runs += [Run(Role.CUT, replace(edge, path=part), ring.style) for part in parts]
    return replace(piece, outlines=(wide, slim), stitch=stitch, shared=tuple(runs))


def segments_of(edges: Iterable[Edge]) -> list[Segment]:
    return [s for edge in edges if edge.lies is not Lies.FOLD for s in edge.path.segments]


def on_the_right(segments: Iterable[Segment], axis: Axis) -> list[Segment]:
    """What is left after folding: the segments whose middle is not left of the fold."""
    return [segment for segment in segments if axis.offset(segment.at(0.5)) <= 1e-9]


def apart(one: Segment, other: Segment) -> float:
    if len(one) != len(other):
        return float("inf")
    return max(a.to(b) for a, b in zip(one, other, strict=True))


def assert_same(kept: list[Segment], drawn: list[Segment]) -> None:
    assert len(kept) == len(drawn)
    for segment in drawn:
        assert min(apart(segment, other) for other in kept) < 1e-6


@settings(max_examples=60, deadline=None)
@given(half_pieces())
def test_what_is_opened_and_folded_again_is_the_half(half: Piece) -> None:
    """Outlines, stitch rings, shared runs, lines and marks, all within 1e-6 mm."""
    piece, axis = styled(half), fold_of(half)
    whole = unfolded(piece)
    for rings, opened in ((piece.outlines, whole.outlines), (piece.stitch, whole.stitch)):
        assert [ring.style for ring in opened] == [ring.style for ring in rings]
        assert [ring.role for ring in opened] == [ring.role for ring in rings]
        for ring, made in zip(rings, opened, strict=True):
            assert_same(on_the_right(segments_of(made.edges), axis), segments_of(ring.edges))
    runs, made_runs = (segments_of(run.edge for run in p.shared) for p in (piece, whole))
    assert_same(on_the_right(made_runs, axis), runs)
    assert len(made_runs) == 2 * len(runs)
    lines = [s for each in whole.lines[: len(piece.lines)] for s in each.path.segments]
    assert_same(on_the_right(lines, axis), [s for e in piece.lines for s in e.path.segments])
    kept = [mark for mark in whole.marks if axis.offset(mark.at) <= 1e-9]
    assert kept == list(piece.marks)


@settings(max_examples=60, deadline=None)
@given(half_pieces())
def test_rings_and_runs_have_the_same_letters(half: Piece) -> None:
    """Edge B of the stitch ring is the seam of edge B of the outline, in every style."""
    whole = unfolded(styled(half))
    letters = [edge.letter for edge in whole.outlines[0].edges]
    for ring in (*whole.outlines, *whole.stitch):
        assert [edge.letter for edge in ring.edges] == letters
        assert ring.path.area < 0
    names = {edge.letter: edge.name for edge in whole.outlines[0].edges}
    for run in whole.shared:
        assert names[run.edge.letter] == run.edge.name
        (ring,) = (ring for ring in whole.outlines if ring.style == run.style)
        (edge,) = (edge for edge in ring.edges if edge.letter == run.edge.letter)
        nodes = list(edge.path.flattened(0.01))
        assert min(run.edge.path.start.to(node) for node in nodes) < edge.path.length


HALF = Piece(
    "Front",
    (
        Outline(
            Role.CUT,
            (
                Edge("A", line((0, 0), (0, 200)), Lies.FOLD, "centre front"),
                Edge("B", line((0, 200), (100, 200)), name="neck", allowance=10.0),
                Edge("C", line((100, 200), (100, 0)), name="side"),
                Edge("D", line((100, 0), (0, 0)), Lies.HEM, "hem", 30.0),
            ),
        ),
    ),
    grain=line((60, 40), (60, 160)),
    allowance=15.0,
)


def test_edges_keep_their_own_allowance() -> None:
    """Neck 10 mm, hem 30 mm, in the outline and in its stitch ring."""
    ring = shrunk(HALF.outlines[0], fold_of(HALF), 0.8, Role.STITCH)
    whole = unfolded(replace(HALF, stitch=(ring,)))
    for outline in (whole.outlines[0], whole.stitch[0]):
        told = {edge.name: (edge.letter, edge.allowance, edge.lies) for edge in outline.edges}
        assert told["neck"] == ("B", 10.0, Lies.SEWN)
        assert told["hem"] == ("D", 30.0, Lies.HEM)
    assert whole.stitch[0].path.bounds == (-80, 20, 80, 180)


def test_a_run_that_several_styles_share_is_opened_once() -> None:
    """The neck, cut at the fold, becomes one run; the side two; the fold a line of the styles."""
    (ring,) = HALF.outlines
    both = AND.join(("long", "short"))
    runs = tuple(Run(Role.CUT, edge, both) for edge in ring.edges)
    outlines = tuple(replace(ring, style=style) for style in ("long", "short", "wide"))
    whole = unfolded(replace(HALF, outlines=outlines, shared=runs))
    told = [(run.edge.letter, run.edge.path.length, run.style) for run in whole.shared]
    assert sorted(told) == [
        ("A", 200, both),
        ("B", 200, both),
        ("C", 200, both),
        ("D", 200, both),
    ]
    folds = [each for each in whole.lines if each.role is Role.FOLD]
    assert folds == [Line(Role.FOLD, line((0, 0), (0, 200)), both)]


def test_buttons_pockets_and_wedges_come_twice_and_those_on_the_fold_once() -> None:
    """A button on the fold is one button; a wedge at the fold stays as it is drawn."""
    marks = (
        Mark(Role.BUTTON, Point(0, 150), circle(Point(0, 150), 5)),
        Mark(Role.BUTTON, Point(40, 150), circle(Point(40, 150), 5)),
        Mark(Role.BUTTONHOLE, Point(70, 150), line((60, 150), (80, 150))),
        Mark(Role.NOTCH, Point(0, 200), line((-2, 200), (0, 204), (2, 200))),
        Mark(Role.NOTCH, Point(100, 60), line((100, 58), (104, 60), (100, 62))),
    )
    pocket = Line(Role.POCKET, line((0, 90), (50, 90), (50, 30), (0, 30)))
    whole = unfolded(replace(HALF, marks=marks, lines=(pocket,)))
    assert [mark.at.x for mark in whole.marks] == [0, 40, -40, 70, -70, 0, 100, -100]
    assert whole.marks[-1].path == line((-100, 58), (-104, 60), (-100, 62))
    assert whole.lines[0].path.closed
    assert abs(whole.lines[0].path.area) == pytest.approx(100 * 60)
    assert whole.grain == HALF.grain


def test_a_stitch_ring_whose_fold_is_elsewhere_is_refused() -> None:
    """The stitch line's fold must lie in the line of the cut line's fold."""
    shifted = moved_piece(HALF, Affine.move(2, 0)).outlines[0]
    with pytest.raises(PatternError, match="its fold lies 2 mm off the fold of another line"):
        unfolded(replace(HALF, stitch=(replace(shifted, role=Role.STITCH),)))
