"""The pattern lines in the file: curves stay curves, forms are written once, to the micrometre."""

from __future__ import annotations

from collections import Counter
from functools import cache

import numpy as np
import pytest
import shapely
from hypothesis import given

from tests.demos import DEMOS, each_publication, pattern_of_demo, pdf_of, plan_of, publication_of
from tests.drawing import draws
from tests.laying import laid
from tests.output.pdfreading import Reading, mapped
from tests.strategies import pattern_of, patterns, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern, Piece, styles_in
from tiler.pattern.segment import Cubic, Segment
from tiler.sheets.layers import drawn_keys
from tiler.sheets.publication import lay_out


@cache
def reading_of(demo: str, paper: str) -> Reading:
    return Reading(pdf_of(demo, paper))


def layers_of(pattern: Pattern) -> dict[str, tuple[Piece, str]]:
    return {
        f"{piece.name} · {style}" if style else piece.name: (piece, style)
        for piece in pattern.pieces
        for style in ("", *drawn_keys(piece))
    }


def segments_of(piece: Piece, style: str) -> list[Segment]:
    """What a piece has for a style, straight from the model."""
    paths = [run.edge.path for run in piece.runs if run.style == style]
    paths += [t.path for t in (*piece.lines, *piece.marks) if t.style == style]
    paths += [piece.grain] if piece.grain and not style else []
    return [segment for path in paths for segment in path.segments]


@each_publication
def test_each_piece_and_style_is_one_form_written_once(demo: str, paper: str) -> None:
    """All pages that show a layer refer to the same object."""
    reading = reading_of(demo, paper)
    written = Counter(form.layer for form in reading.forms.values())
    assert written == Counter(layers_of(pattern_of_demo(demo)).keys())
    assert sum(len(uses) for uses in reading.pages) > len(reading.forms)


@each_publication
def test_the_layers_can_be_switched_by_their_names(demo: str, paper: str) -> None:
    """The catalogue lists each layer once, all of them on (ISO 32000-1, 8.11.4)."""
    reading = reading_of(demo, paper)
    properties = reading.reader.trailer["/Root"]["/OCProperties"]
    names = [str(group.get_object()["/Name"]) for group in properties["/OCGs"]]
    pattern = pattern_of_demo(demo)
    styles = {s for p in pattern.pieces for key in drawn_keys(p) for s in styles_in(key)}
    beside = ["Page marks", "Words"]
    assert sorted(names) == sorted([*(piece.name for piece in pattern.pieces), *styles, *beside])
    groups = [group for part in properties["/D"]["/Order"] for group in part[1:]]
    shown = [str(group.get_object()["/Name"]) for group in groups]
    assert sorted(shown) == sorted(names)
    assert "/OFF" not in properties["/D"] or properties["/D"]["/OFF"] == []


@each_publication
def test_curves_are_written_as_curves_and_lines_as_lines(demo: str, paper: str) -> None:
    """As many curve operators as the pattern has cubics; the rest are lines and closings."""
    layers = layers_of(pattern_of_demo(demo))
    total = 0
    for form in reading_of(demo, paper).forms.values():
        segments = segments_of(*layers[form.layer])
        cubics = sum(isinstance(segment, Cubic) for segment in segments)
        assert form.operators.get("c", 0) == cubics
        straight = len(segments) - cubics
        closings = form.operators.get("h", 0)
        assert straight - closings <= form.operators.get("l", 0) <= straight
        total += cubics
    assert total > 0


@each_publication
def test_pages_use_only_the_forms_that_they_touch(demo: str, paper: str) -> None:
    """A form on a page has ink in its window, and each that has ink there is on the page."""
    plan, reading = plan_of(demo, paper), reading_of(demo, paper)
    pages = {page.name: uses for page, uses in _pages(demo, paper, reading)}
    layers = layers_of(pattern_of_demo(demo))
    shapes = {}
    for placement in plan.placements:
        for name, (piece, style) in layers.items():
            if piece.name == placement.piece.name:
                shapes[name] = shapely.union_all(
                    [
                        shapely.LineString([placement.at(s.at(i / 60)) for i in range(61)])
                        for s in segments_of(piece, style)
                    ]
                )
    for cell in plan.cells:
        used = {use.form.layer for use in pages[cell.name]}
        assert len(used) == len(pages[cell.name])
        window = plan.grid.window(cell)
        inner = shapely.box(*window.grown(-0.1))
        # Half of the widest line, and what flattening takes off.
        outer = shapely.box(*window.grown(0.55 / 2 + 0.1))
        for name, shape in shapes.items():
            if shape.intersects(inner):
                assert name in used, (cell.name, name)
            if name in used:
                assert shape.intersects(outer), (cell.name, name)
    for page, uses in _pages(demo, paper, reading):
        if page.name not in {cell.name for cell in plan.cells}:
            assert uses == []


def _pages(demo: str, paper: str, reading: Reading):
    return list(zip(publication_of(demo, paper).pages, reading.pages, strict=True))


def worst_deviation(reading: Reading, plan: Plan, pattern: Pattern, names: list[str]) -> float:
    """Largest distance of a written control point from where the plan puts it, millimetres."""
    layers = layers_of(pattern)
    worst = 0.0
    origins = {cell.name: plan.grid.origin(cell) for cell in plan.cells}
    at = {placement.piece.name: placement.at for placement in plan.placements}
    for name, uses in zip(names, reading.pages, strict=True):
        for use in uses:
            piece, style = layers[use.form.layer]
            origin = origins[name]
            shift = at[piece.name].then(Affine.move(-origin.x, -origin.y))
            wanted = {2: [], 4: []}
            for segment in segments_of(piece, style):
                wanted[len(segment)].append([shift(point) for point in segment])
            written = {2: [], 4: []}
            for points in use.form.segments:
                written[len(points)].append(mapped(points, use.at))
            for degree in (2, 4):
                assert len(wanted[degree]) == len(written[degree]), use.form.layer
                if not wanted[degree]:
                    continue
                one = np.array(wanted[degree], dtype=float)
                other = np.array(written[degree])
                gap = np.abs(one[:, None] - other[None]).max(axis=(2, 3))
                back = np.abs(one[:, None, ::-1] - other[None]).max(axis=(2, 3))
                gap = np.minimum(gap, back)
                worst = max(worst, gap.min(axis=1).max(), gap.min(axis=0).max())
    return worst


@pytest.mark.parametrize("demo", DEMOS)
def test_every_control_point_is_written_to_a_micrometre(demo: str) -> None:
    """On every page that uses it, through all matrices, within 0.001 mm."""
    plan, pattern = plan_of(demo, "a4"), pattern_of_demo(demo)
    names = [page.name for page in publication_of(demo, "a4").pages]
    assert worst_deviation(reading_of(demo, "a4"), plan, pattern, names) <= 0.001


@draws(6)
@given(patterns(most=2))
def test_random_pieces_are_written_to_a_micrometre(pattern: Pattern) -> None:
    """So are pieces of any shape, drawn anywhere."""
    plan = laid(pattern, [PageSetup(find_paper("letter"))])
    publication = lay_out(pattern, plan)
    reading = Reading(pdf_bytes(publication))
    names = [page.name for page in publication.pages]
    assert worst_deviation(reading, plan, pattern, names) <= 0.001


def test_far_away_pieces_are_written_just_as_finely() -> None:
    """A sheet of twelve metres loses nothing to rounding."""
    long = rectangular("Awning", 90, 12_000.0625)
    pattern = pattern_of(long)
    plan = laid(pattern, [PageSetup(find_paper("a4"))])
    publication = lay_out(pattern, plan)
    reading = Reading(pdf_bytes(publication))
    names = [page.name for page in publication.pages]
    assert worst_deviation(reading, plan, pattern, names) <= 0.001


@each_publication
def test_the_writer_balances_what_it_opens(demo: str, paper: str) -> None:
    """Saved states and marked content are closed again on every page."""
    for page in reading_of(demo, paper).reader.pages:
        content = page.get_contents()
        assert content is not None
        counts = Counter(operator for _, operator in content.operations)
        assert counts[b"q"] == counts[b"Q"]
        assert counts[b"BMC"] + counts[b"BDC"] == counts[b"EMC"]
        assert counts[b"BT"] == counts[b"ET"]
