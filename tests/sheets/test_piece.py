"""A piece as it is printed: every line once, in the layer of its style, with the right pen."""

from __future__ import annotations

import dataclasses
import math
from collections import Counter

import pytest
import shapely
from hypothesis import given, settings

from tests.demos import (
    DEMOS,
    drafted_demo,
    each_publication,
    pattern_of_demo,
    plan_of,
    sheets_of,
)
from tests.laying import laid
from tests.printed import fills_on, lines_on, words_on
from tests.strategies import pattern_of, pieces, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Line, Outline, Piece, Role, Run
from tiler.pattern.path import polyline
from tiler.pattern.segment import Segment
from tiler.sheets.layers import drawn_keys, layer_names
from tiler.sheets.pens import CUT, FOLD
from tiler.sheets.piece import pattern_strokes
from tiler.sheets.publication import lay_out


def segments_of(piece: Piece, style: str) -> Counter[Segment]:
    """Every segment that the model has for a style."""
    found: Counter[Segment] = Counter()
    for run in piece.runs:
        if run.style == style:
            found.update(run.edge.path.segments)
    for thing in (*piece.lines, *piece.marks):
        if thing.style == style:
            found.update(thing.path.segments)
    if piece.grain and not style:
        found.update(piece.grain.segments)
    return found


def drawn_segments(piece: Piece, style: str, order: tuple[str, ...]) -> Counter[Segment]:
    strokes = pattern_strokes(piece, style, order)
    return Counter(s for stroke in strokes for path in stroke.paths for s in path.segments)


@settings(max_examples=60, deadline=None)
@given(pieces())
def test_every_line_of_a_piece_is_drawn_once(piece: Piece) -> None:
    """No segment is lost, doubled or bent, whatever the edges lie on."""
    assert drawn_segments(piece, "", ()) == segments_of(piece, "")


@pytest.mark.parametrize("demo", DEMOS)
def test_every_line_of_the_demos_is_drawn_in_the_layer_of_its_style(demo: str) -> None:
    """Shared lines are in the piece's own layer, the others in that of their style."""
    pattern = pattern_of_demo(demo)
    order = tuple(name for name, _ in pattern.styles)
    for piece in pattern.pieces:
        for style in ("", *piece.style_keys):
            assert drawn_segments(piece, style, order) == segments_of(piece, style)


def test_layers_are_called_after_pieces_and_styles() -> None:
    """Whoever switches a layer off reads the maker's own words; no two layers share a name."""
    line = Line(Role.CUT, polyline([Point(10, 10), Point(90, 10)]), style="narrow")
    brim = dataclasses.replace(rectangular("Brim", 100, 100), lines=(line,))
    names = layer_names(pattern_of(brim, rectangular("Band", 50, 50)))
    assert names.styles == {"narrow": "narrow"}
    assert names.pieces == {"Brim": "Brim", "Band": "Band"}
    # A style's layer has the style's name, whatever the pieces are called.
    awkward = layer_names(pattern_of(brim, rectangular("narrow", 50, 50)))
    assert awkward.styles == {"narrow": "narrow"}
    assert awkward.pieces == {"Brim": "Brim", "narrow": "narrow (2)"}
    assert awkward.of("narrow") == ("narrow",)


def test_a_piece_with_all_its_lines_in_common_has_no_layers_of_styles() -> None:
    """One style published alone is a plain piece."""
    brim = rectangular("Brim", 100, 100)
    [outline] = brim.outlines
    runs = tuple(Run(outline.role, edge) for edge in outline.edges)
    styled = dataclasses.replace(outline, style="narrow")
    alone = dataclasses.replace(brim, outlines=(styled,), shared=runs)
    assert drawn_keys(alone) == ()
    assert layer_names(pattern_of(alone)).styles == {}


def test_a_fold_edge_is_drawn_as_a_chain_and_the_rest_in_one_go() -> None:
    """The cut line runs on round the corners; only the fold has the pen of a fold."""
    shared = rectangular("Front", 200, 300).outlines[0]
    edges = (Edge("A", shared.edges[0].path, Lies.FOLD), *shared.edges[1:])
    piece = dataclasses.replace(
        rectangular("Front", 200, 300), outlines=(Outline(Role.CUT, edges),)
    )
    strokes = pattern_strokes(piece, "", ())
    assert sorted((len(s.paths[0].segments), s.pen == FOLD) for s in strokes) == [
        (1, True),
        (3, False),
    ]
    assert {s.pen for s in strokes} == {FOLD, CUT}


@each_publication
def test_a_piece_on_the_fold_is_told_so_along_its_edge(demo: str, paper: str) -> None:
    """Words beside each long fold edge, whole on one page, and two arrows that point at it."""
    plan = plan_of(demo, paper)
    folded = {
        placement.piece.name
        for placement in plan.placements
        for outline in placement.piece.outlines
        for edge in outline.edges
        if edge.lies is Lies.FOLD and edge.path.length >= 120
    }
    told = {
        words.layer
        for _, page in sheets_of(demo, paper)
        for words in words_on(page)
        if "fold of the cloth" in words.text and words.whole
    }
    assert folded <= told


@settings(max_examples=10, deadline=None)
@given(pieces(smallest=60, largest=150))
def test_words_on_a_piece_read_upright_or_from_the_right(piece: Piece) -> None:
    """A label is level or turned by a quarter, and fold words never stand on their head."""
    pattern = pattern_of(piece)
    publication = lay_out(pattern, laid(pattern, [PageSetup(find_paper("a4"))]))
    for page in publication.pages:
        for words in (w for w in words_on(page) if w.layer):
            (x0, y0), (x1, y1), *_ = words.ink.exterior.coords
            degrees = math.degrees(math.atan2(y1 - y0, x1 - x0))
            assert -90.1 <= degrees <= 90.1, words.text


@each_publication
def test_the_grain_has_an_arrowhead_at_both_ends(demo: str, paper: str) -> None:
    """The tips of two dark triangles meet the ends of each grainline."""
    tips = []
    grains = []
    plan = plan_of(demo, paper)
    for cell, page in sheets_of(demo, paper):
        origin = plan.grid.origin(cell)
        for fill in fills_on(page):
            if fill.grey == 0 and not fill.ink.is_empty:
                tips.append(shapely.affinity.translate(fill.ink, origin.x, origin.y))
    for placement in plan.placements:
        if placement.piece.grain:
            grain = placement.piece.grain.moved(placement.at)
            grains += [grain.start, grain.end]
    heads = shapely.union_all(tips)
    assert grains
    for end in grains:
        assert heads.distance(shapely.Point(*end)) < 0.1


def test_a_line_of_one_style_alone_gets_the_dashes_of_the_style() -> None:
    """Both the outline and the stitch line of a style look like that style."""
    line = Line(Role.STITCH, polyline([Point(10, 10), Point(90, 10)]), style="narrow")
    piece = dataclasses.replace(rectangular("Brim", 100, 100), lines=(line,))
    (stroke,) = pattern_strokes(piece, "narrow", ("narrow",))
    assert stroke.pen.dash
    assert stroke.paths == (line.path,)
    assert all(line.path not in s.paths for s in pattern_strokes(piece, "", ("narrow",)))
    pages = lay_out(
        pattern_of(piece, styles=(("narrow", ""),)),
        laid(pattern_of(piece), [PageSetup(find_paper("a4"))]),
    ).pages
    assert {line.layer for line in lines_on(pages[-1]) if line.pattern} == {"Brim", "Brim · narrow"}


@pytest.mark.parametrize("demo", DEMOS)
def test_the_grain_of_a_demo_is_clear_of_buttons_and_of_every_style_s_cut_line(demo: str) -> None:
    """It stops short of the cutting line (JIS L 0110:2001, note 2), also of the shortest style."""
    astray = []
    for piece in drafted_demo(demo).pieces:
        assert piece.grain is not None
        grain = shapely.LineString(piece.grain.flattened(0.05))
        for outline in piece.outlines:
            inside = shapely.Polygon(outline.path.flattened(0.05)).buffer(-5.0)
            if not inside.covers(grain):
                astray.append(f"{piece.name} leaves {outline.style or 'the piece'}")
        for thing in (*piece.lines, *piece.marks):
            if thing.role in (Role.BUTTON, Role.BUTTONHOLE, Role.POCKET, Role.DART, Role.DRILL):
                line = shapely.LineString(thing.path.flattened(0.05))
                if line.distance(grain) < 1.5:
                    astray.append(f"{piece.name} runs over a {thing.role.value}")
    assert astray == []
