"""The garment-like patterns that layouts are measured on: sound, of many sizes, always the same."""

from __future__ import annotations

import pytest
import shapely

from tests.bench.sets import SEEDS, garment_set
from tiler.layout.bound import body_area
from tiler.pattern.model import Role

A4_AREA = 210.0 * 297.0
each_set = pytest.mark.parametrize("seed", SEEDS)


@each_set
def test_every_outline_is_simple_and_holds_its_stitch_line(seed: int) -> None:
    """Judged by shapely."""
    for piece in garment_set(seed).pieces:
        for cut, stitch in zip(piece.outlines, piece.stitch, strict=True):
            assert (cut.role, stitch.role, cut.style) == (Role.CUT, Role.STITCH, stitch.style)
            assert cut.path.area < 0
            outer, inner = (shapely.Polygon(o.path.flattened(0.05)) for o in (cut, stitch))
            assert outer.is_valid
            assert inner.is_valid
            assert outer.contains(inner), piece.name


@each_set
def test_pieces_have_names_of_their_own_and_all_that_is_drawn(seed: int) -> None:
    pattern = garment_set(seed)
    names = [piece.name for piece in pattern.pieces]
    assert len(set(names)) == len(names)
    assert 3 <= len(names) <= 24
    styles = [style for style, _ in pattern.styles]
    for piece in pattern.pieces:
        assert list(piece.styles) == styles
        assert piece.grain
        assert piece.cuts
        assert piece.marks
        assert max(piece.bounds.width, piece.bounds.height) < 1700


def test_the_sets_range_from_a_few_pages_to_many() -> None:
    pages = [sum(body_area([p]) for p in garment_set(seed).pieces) / A4_AREA for seed in SEEDS]
    assert len(pages) == 12
    assert min(pages) < 5
    assert max(pages) > 50


def test_a_seed_gives_the_same_pattern_again() -> None:
    again = garment_set.__wrapped__(SEEDS[0])
    assert again == garment_set(SEEDS[0])
    assert again != garment_set(SEEDS[0] + 12)
