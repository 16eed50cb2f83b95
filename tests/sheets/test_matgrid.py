"""The projected grid can be read and measured on every projector."""

from __future__ import annotations

import io
from itertools import combinations

import numpy as np
import numpy.typing as npt
import pytest
from PIL import Image

from tiler.layout.mats.grid import GRID_INSET, grid_corners_px
from tiler.layout.mats.mat import Mat
from tiler.output.screen import screen_png
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Page, Words
from tiler.sheets.lettering import depth_of, height_of, width_of
from tiler.sheets.matgrid import grid_page
from tiler.sheets.screen import PX_MM

SIZES = (
    (800, 600),
    (854, 480),
    (1024, 768),
    (1280, 720),
    (1280, 800),
    (1366, 768),
    (1920, 1080),
    (1920, 1200),
    (3840, 2160),
)
Pixels = npt.NDArray[np.uint8]


def _page(width: int, height: int) -> Page:
    return grid_page(Mat("the floor", width, height, 1200, 700))


def _shown(width: int, height: int) -> Pixels:
    png = screen_png([_page(width, height)], width, height)[0]
    return np.asarray(Image.open(io.BytesIO(png)))


def _boxes(page: Page) -> list[tuple[str, Bounds]]:
    """The words of a page and where they stand, mm."""
    boxes = []
    for item in page.items:
        if isinstance(item, Words):
            wide = width_of(item.text, item.size_pt, bold=item.bold)
            left = item.at.x - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor]
            low, high = item.at.y - depth_of(item.size_pt), item.at.y + height_of(item.size_pt)
            boxes.append((item.text, Bounds(left, low, left + wide, high)))
    return boxes


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_words_stand_apart_and_within_the_rectangle(width: int, height: int) -> None:
    boxes = _boxes(_page(width, height))
    inside = Bounds(0, 0, width * PX_MM, height * PX_MM).grown(-GRID_INSET * PX_MM)
    for text, box in boxes:
        assert inside.holds(box), text
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not a.meets(b), (one, other)


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_nothing_hides_a_word(width: int, height: int) -> None:
    """Where a word stands there is as much light as when it stands alone."""
    page = _page(width, height)
    words = tuple(item for item in page.items if isinstance(item, Words))
    alone = Page("words", page.width, page.height, (page.items[0], *words))
    shown, lone = (
        np.asarray(Image.open(io.BytesIO(png))) for png in screen_png([page, alone], width, height)
    )
    for text, box in _boxes(page):
        part = (
            slice(int(height - box.top / PX_MM), int(height - box.bottom / PX_MM) + 1),
            slice(int(box.left / PX_MM), int(box.right / PX_MM) + 1),
        )
        assert np.abs(shown[part].astype(int) - lone[part]).max() <= 2, text


@pytest.mark.parametrize(("width", "height"), [(854, 480), (1920, 1080), (1366, 768)])
def test_a_cross_is_two_pixels_wide_about_each_place(width: int, height: int) -> None:
    """The four pixels about the place are white; beside the arms it is black up to the ring."""
    shown = _shown(width, height)
    middles = [
        (width / 2, GRID_INSET),
        (width / 2, height - GRID_INSET),
        (GRID_INSET, height / 2),
        (width - GRID_INSET, height / 2),
    ]
    for x, y in (*grid_corners_px(width, height), *middles):
        column, row = int(x), int(y)
        about = shown[row - 3 : row + 3, column - 3 : column + 3]
        wanted = np.zeros((6, 6))
        wanted[2:4, :] = wanted[:, 2:4] = 255
        assert np.abs(about - wanted).max() <= 2


def test_upright_and_level_lines_are_crisp() -> None:
    """A row beside all words holds no half-lit pixel but in the rings."""
    row = _shown(1920, 1080)[1080 - GRID_INSET - 5].astype(int)
    grey = round(255 * 0.26)
    half_lit = [x for x, light in enumerate(row) if min(light, abs(light - grey), 255 - light) > 3]
    rings = (GRID_INSET, 960, 1920 - GRID_INSET)
    assert all(min(abs(x - ring) for ring in rings) < 35 for x in half_lit)


def test_the_eight_names_the_next_command_and_the_caution_are_there() -> None:
    said = " ".join(text for text, _ in _boxes(_page(1920, 1080)))
    for number, name in enumerate(
        ("lower", "right", "upper", "left", "rising", "falling", "level", "upright"), start=1
    ):
        assert f"{number}  {name}" in said
    assert 'blocksheet mat measure "the floor"' in said
    assert "Do not look into the beam" in said
    assert "1920 x 1080 pixels" in said
