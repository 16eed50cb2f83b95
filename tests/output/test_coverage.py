"""Ink: the share of a page that is dark, against areas that are known."""

from __future__ import annotations

import math
import time
from pathlib import Path as File

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.demos import pdf_of, publication_of
from tiler.output.coverage import DPI, ink_coverage
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import FileError
from tiler.pattern.path import circle, polyline, rectangle
from tiler.sheets.drawing import Fill, Item, Page, Pen, Publication, Stroke

WIDTH, HEIGHT = 210.0, 297.0


def inked(*items: Item) -> bytes:
    return pdf_bytes(Publication("Ink", "", "", (Page("A1", WIDTH, HEIGHT, items),)))


@settings(max_examples=25, deadline=None)
@given(
    st.floats(5, 100), st.floats(5, 150), st.floats(1, 100), st.floats(1, 140), st.floats(0, 0.9)
)
def test_a_rectangle_covers_its_area(
    left: float, bottom: float, width: float, height: float, grey: float
) -> None:
    """Width times height over that of the page, times its darkness."""
    box = Bounds(left, bottom, left + width, bottom + height)
    [share] = ink_coverage(inked(Fill((rectangle(box),), grey)))
    wanted = width * height * (1 - grey) / (WIDTH * HEIGHT)
    # The renderer sets upright sides on whole dots; greys are rounded to a 255th.
    dot = 25.4 / DPI
    slack = dot * (width + height) * (1 - grey) / (WIDTH * HEIGHT)
    rounded = 0.5 / 255 * width * height / (WIDTH * HEIGHT)
    assert share == pytest.approx(wanted, abs=slack + rounded + 0.005 * wanted)


def test_a_disc_covers_its_area() -> None:
    """Pi r squared."""
    [share] = ink_coverage(inked(Fill((circle(Point(100, 150), 60),), 0.0)))
    assert share == pytest.approx(math.pi * 60**2 / (WIDTH * HEIGHT), rel=0.005)


@pytest.mark.parametrize("width", [0.2, 0.3, 0.55])
def test_lines_count_with_their_width(width: float) -> None:
    """Length times width, of 40 lines, for the pens that we have."""
    lines = tuple(
        polyline([Point(10, 10 + 6.7 * step), Point(200, 14 + 6.7 * step)]) for step in range(40)
    )
    [share] = ink_coverage(inked(Stroke(lines, Pen(width))))
    length = math.hypot(190, 4)
    assert share == pytest.approx(40 * length * width / (WIDTH * HEIGHT), rel=0.05)


def test_a_blank_page_has_none_and_pages_can_be_chosen() -> None:
    """In the order in which they are asked for."""
    half = Fill((rectangle(Bounds(0, 0, WIDTH, HEIGHT / 2)),), 0.0)
    pages = (Page("A1", WIDTH, HEIGHT, ()), Page("A2", WIDTH, HEIGHT, (half,)))
    pdf = pdf_bytes(Publication("Ink", "", "", pages))
    assert ink_coverage(pdf) == [0.0, pytest.approx(0.5, abs=0.002)]
    assert ink_coverage(pdf, [1, 0]) == [pytest.approx(0.5, abs=0.002), 0.0]


def test_a_file_is_read_as_well_as_bytes(tmp_path: File) -> None:
    """A path or its name."""
    file = tmp_path / "ink.pdf"
    file.write_bytes(inked(Fill((rectangle(Bounds(0, 0, 105, 297)),), 0.0)))
    assert ink_coverage(file) == ink_coverage(str(file)) == ink_coverage(file.read_bytes())


def test_what_is_no_pdf_or_no_page_is_told(tmp_path: File) -> None:
    """An error of ours, with the file's name."""
    file = tmp_path / "letter.txt"
    file.write_text("Dear allotment holder")
    with pytest.raises(FileError, match=r"letter\.txt"):
        ink_coverage(file)
    with pytest.raises(FileError):
        ink_coverage(tmp_path / "nothing.pdf")
    with pytest.raises(FileError, match="no page with the index 4"):
        ink_coverage(inked(), [4])


def test_a_whole_publication_takes_little_time_and_little_ink() -> None:
    """Pages of lines are mostly paper: less than an eighth of each is ink (our own measure)."""
    pdf = pdf_of("smock", "a4")
    began = time.process_time()
    shares = ink_coverage(pdf)
    assert (time.process_time() - began) / len(shares) < 0.02
    assert len(shares) == len(publication_of("smock", "a4").pages)
    assert all(0 < share < 0.125 for share in shares)
