"""The map as a picture of its own: all of it on one page, in any format."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
import shapely
from PIL import Image

from tests.demos import DEMOS, pattern_of_demo, plan_of
from tests.printed import lines_on, words_on
from tests.sheets.map_plans import sheets_plan
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tiler.output.picture import write_picture
from tiler.sheets.mappicture import draw_map_picture


@pytest.mark.parametrize("demo", DEMOS)
def test_everything_is_on_the_picture_and_can_be_read(demo: str) -> None:
    """Title, pages, pieces and their list; nothing over anything else or past the edge."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, "a4")
    page = draw_map_picture(pattern, plan, 2)
    texts = [words.text for words in words_on(page)]
    assert pattern.title in texts
    for cell in plan.cells:
        assert cell.name in texts
    for piece in pattern.pieces:
        assert piece.name in texts
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []
    paper = shapely.box(0, 0, page.width, page.height).buffer(-5)
    assert all(paper.covers(thing.ink) for thing in (*words_on(page), *lines_on(page)))


def test_it_is_written_as_png_and_as_svg(tmp_path: Path) -> None:
    """With the proportions of the page; SVG is sound XML."""
    pattern, plan = sheets_plan([(2, 3), (1, 1)])
    page = draw_map_picture(pattern, plan)
    for ending in (".png", ".svg"):
        write_picture(page, pattern.title, tmp_path / f"map{ending}")
    with Image.open(tmp_path / "map.png") as image:
        assert image.width / image.height == pytest.approx(page.width / page.height, rel=0.01)
    root = ElementTree.parse(tmp_path / "map.svg").getroot()
    assert root.tag.endswith("svg")


def test_a_list_longer_than_the_picture_makes_it_higher() -> None:
    """A hundred pieces are all in the list."""
    pattern, plan = sheets_plan([(1, 1)] * 100)
    page = draw_map_picture(pattern, plan)
    texts = [words.text for words in words_on(page)]
    assert all(f"Part {number}" in texts for number in range(1, 101))
