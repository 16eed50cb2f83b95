"""Styles alone against the same styles nested, on random bodies."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from hypothesis import Phase, assume, given, settings

from tests.drafting.styles.bodies import apart, body, drawn, line, nested, piece_of
from tests.drawing import draws
from tiler.drafting.cutlines import with_cut
from tiler.drafting.styles import only_styles, with_shared_runs, with_styles
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Pattern, Piece, Role, styles_in
from tiler.pattern.path import Path

#: Millimetres: what is drawn of a style lies this near to the style drafted alone.
BOUND = 0.05
#: Chords stand for the curves here, 0.002 mm from them on either side.
SLACK = 0.005

#: Bodies are large examples: making a failing one smaller would take minutes.
quickly = settings(draws(10), phases=(Phase.explicit, Phase.reuse, Phase.generate))


def drafted(piece: Piece) -> Piece:
    """As far as the outlines go; what cannot be drafted is no example."""
    try:
        return with_shared_runs(with_cut(with_styles(piece)[0]))
    except PatternError:
        assume(False)
        raise


def alone(piece: Piece, style: str) -> Piece:
    """Only the wish of one style, drafted by itself."""
    wishes = replace(piece.wishes, styles=tuple(w for w in piece.wishes.styles if w.style == style))
    lines = tuple(each for each in piece.lines if each.style in ("", style))
    return replace(piece, wishes=wishes, lines=lines)


@quickly
@given(nested())
def test_each_style_of_the_nest_is_the_style_drafted_alone(piece: Piece) -> None:
    made = drafted(piece)
    pattern = Pattern("Nest", (made,))
    for outline in made.outlines:
        by_itself = with_cut(with_styles(alone(piece, outline.style))[0])
        [kept] = only_styles(pattern, [outline.style]).pieces
        for one, other in (
            (kept.outlines, by_itself.outlines),
            (kept.stitch, by_itself.stitch),
        ):
            assert [edge.letter for edge in one[0].edges] == [e.letter for e in other[0].edges]
            assert [edge.lies for edge in one[0].edges] == [e.lies for e in other[0].edges]
            assert apart(one[0].path, other[0].path) <= BOUND + SLACK
        assert {run.style for run in kept.runs} == {""}


@quickly
@given(nested(3))
def test_what_is_drawn_for_a_style_is_its_ring_and_nothing_is_drawn_twice(piece: Piece) -> None:
    made = drafted(piece)
    runs = [(run, drawn(run.edge.path)) for run in made.shared]
    for outline in made.outlines:
        mine = [
            shape for run, shape in runs if not run.style or outline.style in styles_in(run.style)
        ]
        assert sum(s.length for s in mine) == pytest.approx(drawn(outline.path).length, abs=1e-6)
        ring = shapely.line_merge(shapely.unary_union(mine))
        assert shapely.hausdorff_distance(ring, drawn(outline.path)) <= 1e-6
        nodes = list(outline.path.segments)
        for before, after in zip([nodes[-1], *nodes], nodes, strict=False):
            assert before.end == after.start
    together = shapely.unary_union([shape for _, shape in runs])
    # Lines of different styles may cross, which takes no length away. Less than 1 mm where lines
    # part, or where a hem goes over into a seam, may be there twice.
    assert together.length == pytest.approx(sum(s.length for _, s in runs), abs=1.0)
    # And none runs beside another one: it would be one with it.
    for number, (one, shape) in enumerate(runs):
        assert shape.length >= BOUND
        for other, beside in runs[number + 1 :]:
            if one.edge.lies is other.edge.lies and one.edge.letter == other.edge.letter:
                near = shapely.intersection(shape, shapely.buffer(beside, 0.02)).length
                assert near <= 12.0, (one.style, other.style)


def test_three_styles_share_in_pairs_too() -> None:
    square = body((0, 0), (0, 300), (200, 300), (200, 0), lies={"A": Lies.FOLD, "D": Lies.HEM})
    lines = [
        line("short", (0, 60), (200, 60)),
        line("knee", (0, 60), (120, 60), (200, 20)),
    ]
    piece = piece_of(square, lines, {"short": "D", "knee": "D", "long": "D"}, allowance=0.0)
    made = with_shared_runs(with_cut(with_styles(piece)[0]))
    found = {(run.edge.letter[0], run.style): round(run.edge.path.length, 6) for run in made.shared}
    slanted = (80**2 + 40**2) ** 0.5
    assert found == {
        ("A", ""): 240,
        ("B", ""): 200,
        ("C", ""): 240,
        ("D", "short"): 80,
        ("D", "short + knee"): 120,
        ("C", "knee + long"): 40,
        ("D", "knee"): round(slanted, 6),
        ("C", "long"): 20,
        ("A", "long"): 60,
        ("D", "long"): 200,
    }
    pattern = Pattern("Nest", (made,))
    [two] = only_styles(pattern, ["knee", "long"]).pieces
    lengths = {
        (run.edge.letter[0], run.style): round(run.edge.path.length, 6) for run in two.shared
    }
    assert lengths["C", ""] == 280
    assert lengths["D", "knee"] == round(120 + slanted, 6)


def test_the_sum_over_the_seam_lines_is_that_of_every_style() -> None:
    square = body((0, 0), (0, 300), (200, 300), (200, 0), lies={"A": Lies.FOLD, "D": Lies.HEM})
    piece = piece_of(square, [line("short", (0, 60), (200, 60))], {"short": "D", "long": "D"})
    made = with_shared_runs(with_cut(with_styles(piece)[0]))
    found = sorted((each.style, each.role, round(each.path.length, 6)) for each in made.lines)
    assert found == [
        ("", Role.STITCH, 200),
        ("", Role.STITCH, 240),
        ("long", Role.FOLD, 200),
        ("long", Role.STITCH, 60),
        ("short", Role.FOLD, 200),
    ]
    [short] = only_styles(Pattern("Nest", (made,)), ["short"]).pieces
    assert {each.style for each in short.lines} == {""}
    [long] = only_styles(Pattern("Nest", (made,)), ["long"]).pieces
    stitched = [each for each in long.lines if each.role is Role.STITCH]
    assert [round(each.path.length, 6) for each in stitched] == [500]


def test_a_ring_without_corners_is_shared() -> None:
    from tiler.pattern.affine import Point
    from tiler.pattern.model import Edge, Outline
    from tiler.pattern.path import circle

    ring = circle(Point(0, 0), 80).reversed()
    outline = Outline(Role.CUT, (Edge("A", Path(ring.segments)),))
    rings = tuple(replace(outline, style=style) for style in ("one", "two"))
    made = with_shared_runs(Piece("Disc", rings))
    assert [run.style for run in made.shared] == [""]
    assert made.shared[0].edge.path.length == pytest.approx(ring.length)


def test_choosing_styles() -> None:
    square = body((0, 0), (0, 300), (200, 300), (200, 0))
    short = line("short", (0, 60), (200, 60))
    made = with_shared_runs(with_cut(with_styles(piece_of(square, [short], {"short": "D"}))[0]))
    plain = replace(made, name="Plain", outlines=(square,), stitch=(), shared=(), lines=(short,))
    pattern = Pattern("Nest", (made, plain), styles=(("short", ""), ("long", "")))
    kept = only_styles(pattern, ["long"])
    assert [(piece.name, piece.lines) for piece in kept.pieces] == [("Plain", ())]
    assert [finding.code for finding in kept.findings] == ["style-left-out"]
    with pytest.raises(PatternError, match='Did you mean "short"'):
        only_styles(pattern, ["shrt"])
    with pytest.raises(PatternError, match="no piece belongs"):
        only_styles(replace(pattern, pieces=(made,)), ["long"])
