"""Sets whose fewest pages are known from their sizes alone."""

from __future__ import annotations

import math

import pytest

from tests.layout.packing.sample_shapes import (
    PITCH,
    WINDOW,
    least_distance,
    polygon,
    rectangle,
)
from tiler.layout.packing.engine import pack
from tiler.layout.packing.options import Packing

QUICK = Packing(effort="quick", gap=8.0)


def test_four_rectangles_of_a_quarter_page_take_one_page() -> None:
    """(180 - 8) / 2 = 86 and (267 - 8) / 2 = 129.5 mm."""
    shapes = [rectangle(k, 85, 128.5) for k in range(4)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert packed.pages == 1
    assert least_distance(shapes, packed) >= 7.9


@pytest.mark.parametrize("count", [1, 2, 5])
def test_rectangles_of_a_whole_page_take_a_page_each(count: int) -> None:
    shapes = [rectangle(k, 178, 265) for k in range(count)]
    assert pack(shapes, PITCH, WINDOW, QUICK).pages == count


def test_a_rectangle_a_little_larger_than_the_pitch_takes_one_page() -> None:
    """The window of a page that is alone is 183.2 x 270.2 mm, and 1 mm stays free all round."""
    packed = pack([rectangle(0, 181, 268)], PITCH, WINDOW, QUICK)
    assert packed.pages == 1
    packed = pack([rectangle(0, 268, 181)], PITCH, WINDOW, QUICK)
    assert packed.pages == 1


def test_a_rectangle_that_the_window_does_not_hold_takes_two_pages() -> None:
    assert pack([rectangle(0, 181.5, 200)], PITCH, WINDOW, Packing("quick", turn=False)).pages == 2


def test_rectangles_a_little_larger_than_the_pitch_take_a_page_each() -> None:
    shapes = [rectangle(k, 181, 268) for k in range(3)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert packed.pages == 3
    assert least_distance(shapes, packed) >= 7.9


def test_two_triangles_that_make_a_page_share_it() -> None:
    """Cut along its diagonal, with room for the gap, a page holds both halves."""
    width, height = 160.0, 245.0
    # The gap square to the diagonal makes the rectangle longer by gap / sine and gap / cosine.
    slant = math.atan2(height, width)
    assert width + 8 / math.sin(slant) < PITCH[0]
    triangle = [(0.0, 0.0), (0.0, height), (width, 0.0)]
    shapes = [polygon(k, triangle) for k in range(2)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert packed.pages == 1
    assert least_distance(shapes, packed) >= 7.9
    # Unturned, two equal triangles cannot lie so: their boxes would have to overlap the page.
    assert pack(shapes, PITCH, WINDOW, Packing("quick", turn=False)).pages == 2


def test_the_empty_middle_of_a_large_piece_costs_no_page() -> None:
    """A square of 5 by 5 cells has ink only on its border: 16 cells where it lies flush."""
    shapes = [rectangle(0, 5 * PITCH[0] - 2, 5 * PITCH[1] - 2)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert packed.pages == 16


def test_many_equal_small_pieces_fill_their_pages() -> None:
    """A page holds 3 x 4 squares of 54 mm with 8 mm between them: 178 x 240 mm."""
    shapes = [rectangle(k, 54, 54) for k in range(36)]
    packed = pack(shapes, PITCH, WINDOW, QUICK)
    assert 3 <= packed.pages <= 4
    assert least_distance(shapes, packed) >= 7.9
