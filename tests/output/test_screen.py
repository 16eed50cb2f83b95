"""A page for a projector becomes exactly its pixels."""

from __future__ import annotations

import io

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from tiler.output.screen import screen_png
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Fill, Item, Page, Pen, Stroke
from tiler.sheets.screen import PX_MM, block, on_page, page_size

SIZES = ((1920, 1080), (1280, 720), (1366, 768), (854, 480), (1919, 1079), (3840, 2160))
Pixels = npt.NDArray[np.uint8]


def _shown(width: int, height: int, *items: Item) -> Pixels:
    ground = block(-1, -1, width + 1, height + 1, height, 0.0)
    page = Page("page", *page_size(width, height), (ground, *items))
    return np.asarray(Image.open(io.BytesIO(screen_png([page], width, height)[0])))


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_blocks_of_whole_pixels_light_these_pixels_and_no_other(width: int, height: int) -> None:
    """Compared with an array in which the same pixels were set."""
    rng = np.random.default_rng(width)
    wanted = np.zeros((height, width))
    blocks: list[Fill] = []
    for _ in range(80):
        x, y = int(rng.integers(0, width - 40)), int(rng.integers(0, height - 40))
        across, down = (int(side) for side in rng.integers(1, 40, 2))
        wanted[y : y + down, x : x + across] = 255
        blocks.append(block(x, y, x + across, y + down, height, 1.0))
    shown = _shown(width, height, *blocks)
    assert shown.shape == (height, width)
    assert np.abs(shown - wanted).max() <= 2


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_line_of_two_pixels_about_a_whole_number_is_crisp(width: int, height: int) -> None:
    pen = Pen(2 * PX_MM, 1.0)
    level = polyline([on_page(0, 100, height), on_page(width, 100, height)])
    upright = polyline([on_page(101, 0, height), on_page(101, height, height)])
    shown = _shown(width, height, Stroke((level, upright), pen))
    assert shown[97:103, width // 2].tolist() == pytest.approx([0, 0, 255, 255, 0, 0], abs=2)
    assert shown[height // 2, 98:104].tolist() == pytest.approx([0, 0, 255, 255, 0, 0], abs=2)


def test_each_page_is_a_picture_of_its_own() -> None:
    size = page_size(640, 360)
    pages = [Page(str(n), *size, (block(n, n, n + 1, n + 1, 360, 0.0),)) for n in range(3)]
    pictures = [Image.open(io.BytesIO(png)) for png in screen_png(pages, 640, 360)]
    assert [picture.size for picture in pictures] == [(640, 360)] * 3
    assert [picture.mode for picture in pictures] == ["L"] * 3
    for number, picture in enumerate(pictures):
        assert np.argwhere(np.asarray(picture) < 128).tolist() == [[number, number]]
