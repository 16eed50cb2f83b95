"""Small pictures of patterns: all pieces at one scale, apart from one another; letters at edges."""

from __future__ import annotations

from itertools import combinations, pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.demos import drafted_demo
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Edge, Outline, Pattern, Piece, Role
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.drawing import Fill, Group, Page, Stroke, Words
from tiler.sheets.glance import HIGH, WIDE, draw_glance
from tiler.sheets.lettered import draw_lettered

DEMOS = ("apron", "hat", "smock", "trousers")


def groups(page: Page, layer: str) -> list[Group]:
    return [item for item in page.items if isinstance(item, Group) and item.layers == (layer,)]


def papers(page: Page) -> list[Bounds]:
    """What each piece covers."""
    fills = [item for group in groups(page, "paper") for item in group.items]
    return [
        bounds_of([path.bounds for path in fill.paths]) for fill in fills if isinstance(fill, Fill)
    ]


def box(bounds: Bounds) -> shapely.Polygon:
    return shapely.box(*bounds)


def block(name: str, width: float, height: float) -> Piece:
    corners = list(rectangle(Bounds(0, 0, width, height)).flattened())[::-1]
    edges = tuple(
        Edge(letter, polyline([a, b]))
        for letter, (a, b) in zip("ABCD", pairwise(corners), strict=False)
    )
    return Piece(name, (Outline(Role.CUT, edges),))


@pytest.mark.parametrize("name", DEMOS)
def test_all_pieces_lie_in_the_picture_and_none_on_another(name: str) -> None:
    pattern = drafted_demo(name)
    page = draw_glance(pattern)
    found = papers(page)
    assert len(found) == len(pattern.pieces)
    assert all(shapely.box(0, 0, WIDE, HIGH).contains(box(each)) for each in found)
    assert all(not box(a).intersects(box(b)) for a, b in combinations(found, 2))


@settings(max_examples=25)
@given(st.lists(st.tuples(st.floats(60, 2000), st.floats(60, 2000)), min_size=1, max_size=10))
def test_pieces_keep_their_proportions(sizes: list[tuple[float, float]]) -> None:
    pieces = tuple(block(str(n), *size) for n, size in enumerate(sizes))
    found = papers(draw_glance(Pattern("Blocks", pieces)))
    assert all(shapely.box(0, 0, WIDE, HIGH).buffer(1e-6).contains(box(each)) for each in found)
    assert all(not box(a).intersects(box(b)) for a, b in combinations(found, 2))
    drawn = sorted(each.width * each.height for each in found)
    true = sorted(wide * high for wide, high in sizes)
    scale = drawn[-1] / true[-1]
    assert drawn == pytest.approx([area * scale for area in true], rel=1e-6)


@pytest.mark.parametrize("name", ["smock", "hat"])
def test_each_edge_has_its_letter_near_it_and_no_ring_on_another(name: str) -> None:
    for piece in drafted_demo(name).pieces:
        page = draw_lettered(piece)
        edges = {(e.letter, e.path): e.path for o in piece.outlines for e in o.edges}
        rings: list[Bounds] = []
        letters: list[str] = []
        for group in groups(page, "letter"):
            circle, word = group.items
            assert isinstance(circle, Stroke)
            assert isinstance(word, Words)
            rings.append(circle.paths[0].bounds)
            letters.append(word.text)
        assert sorted(letters) == sorted(letter for letter, _ in edges)
        for ring in rings:
            assert shapely.box(0, 0, page.width, page.height).contains(box(ring))
        factor = max(page.width, page.height)
        lines: dict[str, list[shapely.LineString]] = {}
        at = _placing(piece, page)
        for (letter, _), path in edges.items():
            line = shapely.LineString(path.moved(at).flattened())
            lines.setdefault(letter, []).append(line)
        for letter, ring in zip(letters, rings, strict=True):
            away = min(box(ring).distance(line) for line in lines[letter])
            assert away < 0.06 * factor, (piece.name, letter)
        if len(letters) <= 8:
            circles = [shapely.Point(ring.centre).buffer(ring.width / 2) for ring in rings]
            assert all(not a.intersects(b) for a, b in combinations(circles, 2)), piece.name


def _placing(piece: Piece, page: Page) -> Affine:
    """From the piece to its picture, read off what is drawn."""
    drawn, true = papers(page)[0], bounds_of([o.path.bounds for o in piece.outlines])
    scale = drawn.height / true.height
    move = Affine.move(drawn.left - true.left * scale, drawn.bottom - true.bottom * scale)
    return Affine.scale(scale, scale).then(move)
