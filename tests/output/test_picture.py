"""Pictures are written in the format that the name asks for."""

from __future__ import annotations

import xml.etree.ElementTree as etree
from pathlib import Path

import pypdfium2
import pytest
from PIL import Image

from tests.demos import each_demo, pattern_of_demo
from tiler.output.picture import MOST_DOTS, WRITERS, write_picture
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import FileError
from tiler.pattern.path import rectangle
from tiler.sheets.drawing import Page, Pen, Stroke
from tiler.sheets.picture import draw_picture


@each_demo
def test_a_png_is_as_large_as_its_resolution_says(demo: str, tmp_path: Path) -> None:
    """Dots over dots per inch give the size of the page within a dot."""
    page = draw_picture(pattern_of_demo(demo))
    file = tmp_path / "pieces.PNG"
    write_picture(page, "Apron", file)
    with Image.open(file) as image:
        image.load()
        assert image.format == "PNG"
        dpi = image.info["dpi"]
        for dots, per_inch, side in zip(image.size, dpi, (page.width, page.height), strict=True):
            assert dots / per_inch * 25.4 == pytest.approx(side, abs=25.4 / per_inch + 0.05)
        low, high = image.convert("L").getextrema()
        assert (low < 20, high) == (True, 255)


@each_demo
def test_svg_and_pdf_are_what_their_names_say(demo: str, tmp_path: Path) -> None:
    """Each opens in a program for its format, at the size of the page."""
    page = draw_picture(pattern_of_demo(demo))
    write_picture(page, "Apron", tmp_path / "pieces.svg")
    assert etree.parse(tmp_path / "pieces.svg").getroot().tag.endswith("svg")
    write_picture(page, "Apron", tmp_path / "pieces.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "pieces.pdf")
    try:
        width, height = (side / 72 * 25.4 for side in document[0].get_size())
    finally:
        document.close()
    assert (width, height) == pytest.approx((page.width, page.height), abs=1e-2)


def test_a_huge_page_is_drawn_with_fewer_dots(tmp_path: Path) -> None:
    """A picture stays in the memory of a small computer."""
    square = Stroke((rectangle(Bounds(10, 10, 5990, 2990)),), Pen(20))
    file = tmp_path / "huge.png"
    write_picture(Page("pieces", 6000, 3000, (square,)), "Huge", file)
    with Image.open(file) as image:
        assert max(image.size) <= MOST_DOTS + 1
        assert image.info["dpi"][0] == pytest.approx(MOST_DOTS / 6000 * 25.4, rel=0.01)


@pytest.mark.parametrize("name", ["pieces.jpg", "pieces", "pieces.svgz"])
def test_a_format_that_is_not_there_is_told(tmp_path: Path, name: str) -> None:
    """The message names the endings that can be used, and nothing is written."""
    with pytest.raises(FileError) as told:
        write_picture(Page("pieces", 10, 10, ()), "Apron", tmp_path / name)
    for ending in WRITERS:
        assert ending in str(told.value)
    assert list(tmp_path.iterdir()) == []
