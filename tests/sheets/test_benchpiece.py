"""A piece for the screen: what is drawn is as long as it is told, and each thing is by itself.

Outside values: lengths of the drawn paths by the svgelements library, areas and distances by
shapely, and what the demo patterns' own files ask for.
"""

from __future__ import annotations

import math
import xml.etree.ElementTree as etree
from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
import svgelements

from tests.demos import drafted_demo, drafted_piece, each_demo
from tiler.drafting.checks import Spot
from tiler.drafting.styles.chosen import only_styles
from tiler.output.svg import screen_svg
from tiler.pattern.model import Lies, Pattern, Piece, Role, styles_in
from tiler.pattern.units import format_mm
from tiler.sheets.benchpiece import draw_benchpiece
from tiler.sheets.benchpieceedges import told_edges
from tiler.sheets.benchpiecemarks import told_darts, told_marks
from tiler.sheets.benchpiecesmall import draw_small_piece
from tiler.sheets.benchpiecespots import draw_spots


@cache
def drawn(demo: str) -> tuple[tuple[Piece, etree.Element], ...]:
    pattern = drafted_demo(demo)
    return tuple((piece, tree_of(piece, pattern)) for piece in pattern.pieces)


def tree_of(piece: Piece, pattern: Pattern) -> etree.Element:
    return etree.fromstring(screen_svg(draw_benchpiece(piece, pattern, format_mm, "fold"), "piece"))


def layer(root: etree.Element, name: str) -> list[etree.Element]:
    return [g for g in root.iter("g") if g.get("data-layer") == name]


def length_of(group: etree.Element) -> float:
    return sum(outside_length(path.get("d", "")) for path in group.iter("path"))


@cache
def outside_length(data: str) -> float:
    """Through 100 points on each curve; their chords are short by under 0.01 mm."""
    points = points_of(data, 100)
    return sum(math.dist(a, b) for a, b in pairwise(points))


def points_of(data: str, steps: int) -> list[tuple[float, float]]:
    """Points on a path, y up again, as svgelements finds them."""
    points: list[tuple[float, float]] = []
    for segment in svgelements.Path(data):
        if isinstance(segment, svgelements.CubicBezier):
            points += [(x, -y) for x, y in segment.npoint(np.linspace(0, 1, steps + 1))]
        elif not isinstance(segment, svgelements.Move):
            points += [(p.x, -p.y) for p in (segment.start, segment.end)]
    return points


@each_demo
def test_every_edge_is_drawn_as_long_as_its_stitch_line_is(demo: str) -> None:
    for piece, root in drawn(demo):
        assert piece.stitch
        for ring in piece.stitch:
            for edge in ring.edges:
                (group,) = layer(root, f"edge:{edge.letter}")
                lengths = [length_of(sewn) for sewn in layer(group, "sewn")]
                assert any(found == pytest.approx(edge.path.length, abs=0.05) for found in lengths)


@each_demo
def test_the_words_beside_an_edge_tell_the_length_that_is_drawn(demo: str) -> None:
    for _, root in drawn(demo):
        tags = layer(root, "tag")
        assert tags
        for tag in tags:
            (sewn,) = layer(tag, "sewn")
            told = [text.text for text in tag.iter("text")][-1]
            assert told is not None
            assert float(told.removesuffix(" mm")) == pytest.approx(length_of(sewn), abs=0.06)


@each_demo
def test_the_outline_is_drawn_once_in_the_layers_of_its_edges(demo: str) -> None:
    for piece, root in drawn(demo):
        shown = sum(
            length_of(group)
            for edge in {run.edge.letter for run in piece.runs}
            for kind in ("cut", "fold")
            for group in layer(layer(root, f"edge:{edge}")[0], kind)
        )
        rings = [ring.path.flattened(0.01) for ring in piece.outlines]
        union = shapely.union_all([shapely.LineString(ring) for ring in rings])
        # Runs of styles that cross or part share no stretch of the outline.
        assert shown >= union.length - 0.5
        if len(rings) == 1:
            assert shown == pytest.approx(union.length, abs=0.2)


@each_demo
def test_the_allowances_cover_what_lies_between_cut_and_stitch_line(demo: str) -> None:
    for piece, root in drawn(demo):
        if len(piece.outlines) > 1:
            pattern = drafted_demo(demo)
            alone = only_styles(
                Pattern("", (piece,), styles=pattern.styles), [piece.outlines[0].style]
            )
            (piece,) = alone.pieces
            root = tree_of(piece, pattern)
        cut, stitch = (
            shapely.Polygon(rings[0].path.flattened(0.02))
            for rings in (piece.outlines, piece.stitch)
        )
        between = cut.difference(stitch)
        bands = [
            shapely.make_valid(shapely.Polygon(points_of(path.get("d", ""), 60)))
            for group in root.iter("g")
            if (group.get("data-layer") or "").startswith("allowance:")
            for path in group.iter("path")
        ]
        covered = shapely.union_all(bands)
        assert covered.symmetric_difference(between).area < 0.004 * max(between.area, 1000.0)


@each_demo
def test_a_notch_is_told_on_the_edge_that_it_stands_on(demo: str) -> None:
    for piece in drafted_demo(demo).pieces:
        edges = {
            e.letter: shapely.LineString(e.path.flattened(0.01))
            for o in reversed(piece.outlines)
            for e in o.edges
        }
        for told in told_marks(piece):
            if told.mark.role is Role.NOTCH:
                assert told.edge is not None
                own = {
                    letter: line.distance(shapely.Point(told.mark.at))
                    for letter, line in edges.items()
                }
                assert own[told.edge.letter] <= min(own.values()) + 0.05


def test_notches_and_darts_are_told_as_the_pattern_file_asks_for_them() -> None:
    """front: B at 50 %, D 85 mm from its end, E at 240 mm; back: a dart of 20 mm, 140 and 120."""
    front, back = drafted_piece("smock", "Front"), drafted_piece("smock", "Back")
    told = {t.edge.letter: t.along for t in told_marks(front) if t.edge}
    lengths = {edge.letter: edge.path.length for edge in front.stitch[0].edges}
    assert told["B"] == pytest.approx(lengths["B"] / 2, abs=0.2)
    assert told["D"] == pytest.approx(lengths["D"] - 85, abs=0.2)
    assert told["E"] == pytest.approx(240, abs=0.2)
    (dart,) = told_darts(back)
    assert dart.intake == pytest.approx(20, abs=0.01)
    assert dart.middle is not None
    assert dart.middle.length == pytest.approx(140 + 120, abs=0.01)


@each_demo
def test_each_thing_has_one_layer_and_the_numbers_leave_none_out(demo: str) -> None:
    for piece, root in drawn(demo):
        names = [g.get("data-layer") or "" for g in root.iter("g")]
        for kind, count in (
            ("notch", sum(mark.role is Role.NOTCH for mark in piece.marks)),
            ("mark", sum(mark.role is not Role.NOTCH for mark in piece.marks)),
            ("dart", sum(line.role is Role.DART for line in piece.lines)),
        ):
            own = [name for name in names if name.startswith(f"{kind}:")]
            assert sorted(own) == sorted(f"{kind}:{n}" for n in range(1, count + 1))
        assert ("bracket" in names) is any(run.edge.lies is Lies.FOLD for run in piece.runs)
        assert ("grain" in names) is (piece.grain is not None)


def test_what_only_some_styles_have_lies_in_their_layers() -> None:
    piece = drafted_piece("smock", "Front")
    root = tree_of(piece, drafted_demo("smock"))
    hems = {each.style for each in told_edges(piece) if each.edge.letter == "F"}
    assert hems == {"long + short", "jacket"}
    for style in ("long", "short", "jacket"):
        for group in layer(root, "edge:F"):
            shown = [keys for keys in styles_round(group) if all(style in key for key in keys)]
            assert len(shown) == 1


def styles_round(
    group: etree.Element, *keys: tuple[str, ...]
) -> Iterator[tuple[tuple[str, ...], ...]]:
    """Of every `sewn` inside, the styles of each style layer that it lies in."""
    for inner in group.findall("g"):
        name = inner.get("data-layer") or ""
        if name == "sewn":
            yield keys
        own = (styles_in(name.removeprefix("style:")),) if name.startswith("style:") else ()
        yield from styles_round(inner, *keys, *own)


def test_lines_keep_their_width_and_coordinates_are_those_of_the_piece() -> None:
    """0.55 mm are 2.0787 CSS pixels (96 to the inch; CSS Values and Units Level 4, 6.2)."""
    piece, root = drawn("hat")[0]
    (cut,) = layer(layer(root, "edge:A")[0], "cut")
    (path,) = cut.iter("path")
    assert float(path.get("stroke-width", "")) == pytest.approx(0.55 / 25.4 * 96, abs=1e-4)
    assert path.get("vector-effect") == "non-scaling-stroke"
    start = svgelements.Path(path.get("d")).first_point
    edge = piece.outlines[0].edges[0]
    assert (start.x, -start.y) == pytest.approx(tuple(edge.path.start), abs=1e-3)
    assert root.get("aria-hidden") == "true"


def test_places_that_were_found_stand_where_they_are_and_nowhere_else() -> None:
    piece = drafted_piece("hat", "Brim")
    at = piece.stitch[0].edges[1].path.start
    here, there = Spot("Brim", (at,), (piece.stitch[0].edges[1].path,)), Spot("Inner band", (at,))
    svg = screen_svg(draw_spots(piece, [(3, here), (4, there)]), "spots")
    root = etree.fromstring(svg)
    (group,) = (g for g in root.iter("g") if g.get("data-layer"))
    assert group.get("data-layer") == "spot:3"
    (text,) = group.iter("text")
    assert text.text == "3"
    numbers = text.get("transform", "").removesuffix(")").split()
    assert (float(numbers[-2]), -float(numbers[-1])) == pytest.approx(tuple(at), abs=1e-3)


def test_a_small_piece_shows_all_its_outlines() -> None:
    for piece in drafted_demo("hat").pieces:
        root = etree.fromstring(screen_svg(draw_small_piece(piece), "small"))
        (cut,) = layer(root, "cut")
        total = sum(ring.path.length for ring in piece.outlines)
        assert length_of(cut) == pytest.approx(total, rel=1e-3)
