"""Some of the styles of a nest, when one style has a corner where another one runs on."""

from __future__ import annotations

import itertools

import pytest

from tests.drafting.styles.bodies import body, piece_of
from tiler.drafting.cutlines import with_cut
from tiler.drafting.styles import only_styles, with_shared_runs, with_styles
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Line, Outline, Pattern, Piece, Role, styles_in
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic

STYLES = ("square", "round", "bevel")


def collar() -> Piece:
    """A rounded collar whose line leaves the neck almost along it, and the drawn, square one.

    The rounded cut line goes with the square one for a little beyond its own corner, so that one
    and the same run is a part of edge B for the square collar and of edge C for the round one.
    """
    outline = body((0, 0), (0, 82), (140, 88), (210, 92), (220, 2))
    curve = Cubic(
        Point(160, 88 + 8 / 7), Point(215, 88 + 8 / 7 + 1.8), Point(218, 52), Point(200, 20 / 11)
    )
    line = Line(Role.STITCH, Path((curve,)), "round")
    piece = piece_of(outline, [line], {"square": "D", "round": "D", "bevel": "D"}, 12.0)
    return with_shared_runs(with_cut(with_styles(piece)[0]))


@pytest.mark.parametrize(
    "chosen", [c for n in (1, 2, 3) for c in itertools.combinations(STYLES, n)]
)
def test_every_part_of_a_style_is_drawn_once(chosen: tuple[str, ...]) -> None:
    """The runs of a style are as long together as its outline, whichever are printed with it."""
    [kept] = only_styles(Pattern("Collar", (collar(),)), chosen).pieces
    for outline in kept.outlines:
        runs = [r for r in kept.runs if not r.style or outline.style in styles_in(r.style)]
        drawn = sum(run.edge.path.length for run in runs)
        assert drawn == pytest.approx(outline.path.length, abs=0.01)


def bib(style: str, corner: float, top: float) -> Outline:
    """100 wide; its hem begins on the right side, so high above the lower right corner."""
    seam = polyline([Point(100, top), Point(100, corner)])
    hem = polyline([Point(100, corner), Point(100, 0), Point(0, 0)])
    return Outline(
        Role.CUT,
        (
            Edge("A", polyline([Point(0, 0), Point(0, top)])),
            Edge("B", polyline([Point(0, top), Point(100, top)])),
            Edge(
                "C", seam if corner else polyline([Point(100, top), Point(100, 10), Point(100, 0)])
            ),
            Edge("D", hem if corner else polyline([Point(100, 0), Point(0, 0)]), Lies.HEM),
        ),
        style,
    )


@pytest.mark.parametrize("chosen", [c for n in (1, 2, 3) for c in itertools.combinations("abc", n)])
def test_a_line_that_is_a_seam_here_and_a_hem_there_is_drawn_for_both(
    chosen: tuple[str, ...],
) -> None:
    piece = with_shared_runs(Piece("Bib", (bib("a", 0, 100), bib("b", 10, 100), bib("c", 0, 120))))
    [kept] = only_styles(Pattern("Bib", (piece,)), chosen).pieces
    for outline in kept.outlines:
        runs = [r for r in kept.runs if not r.style or outline.style in styles_in(r.style)]
        hem = sum(run.edge.path.length for run in runs if run.edge.lies is Lies.HEM)
        assert hem == pytest.approx(110 if outline.style == "b" else 100)
        assert sum(run.edge.path.length for run in runs) == pytest.approx(outline.path.length)
