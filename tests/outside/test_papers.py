"""Paper sizes against the published tables.

Sources: ISO 216:2007, tables of the A and B series (trimmed sizes in mm); ASME Y14.1, sheet sizes
A (8.5 x 11 in) and B (11 x 17 in); Legal 8.5 x 14 in is common practice, no source.
"""

import math

import pytest

from tiler.layout.papers import PAPERS, find_paper
from tiler.pattern.errors import PaperError

ISO_216 = {
    "A0": (841, 1189), "A1": (594, 841), "A2": (420, 594), "A3": (297, 420), "A4": (210, 297),
    "A5": (148, 210), "A6": (105, 148), "A7": (74, 105), "A8": (52, 74), "A9": (37, 52),
    "A10": (26, 37),
    "B0": (1000, 1414), "B1": (707, 1000), "B2": (500, 707), "B3": (353, 500), "B4": (250, 353),
    "B5": (176, 250), "B6": (125, 176), "B7": (88, 125), "B8": (62, 88), "B9": (44, 62),
    "B10": (31, 44),
}  # fmt: skip
INCHES = {"Letter": (8.5, 11), "Legal": (8.5, 14), "Tabloid": (11, 17)}


@pytest.mark.parametrize(("name", "size"), ISO_216.items())
def test_iso_sizes_are_those_of_the_standard(name: str, size: tuple[int, int]) -> None:
    paper = find_paper(name)
    assert size == (paper.width, paper.height)
    assert name == paper.name


@pytest.mark.parametrize(("name", "size"), INCHES.items())
def test_inch_sizes_are_25_4_mm_an_inch(name: str, size: tuple[float, float]) -> None:
    paper = find_paper(name)
    assert paper.width == pytest.approx(size[0] * 25.4, abs=1e-9)
    assert paper.height == pytest.approx(size[1] * 25.4, abs=1e-9)


def test_nothing_else_is_on_the_list() -> None:
    assert {*ISO_216, *INCHES} == {paper.name for paper in PAPERS.values()}


def test_every_a_size_keeps_the_ratio_of_one_to_root_two() -> None:
    """ISO 216: the ratio is sqrt 2, up to rounding to whole millimetres."""
    for number in range(9):
        paper = find_paper(f"a{number}")
        assert abs(paper.height - math.sqrt(2) * paper.width) <= 1.5


def test_a_misspelt_paper_is_told_with_the_nearest_one() -> None:
    with pytest.raises(PaperError, match="Did you mean letter"):
        find_paper("leter")
