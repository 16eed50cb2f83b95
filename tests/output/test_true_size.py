"""True size, measured on the pixels of the start page as two programs render it.

Pages are rendered by pdfium and by poppler. On the pixels every line is found as a run of dark
dots and its middle taken, as a person does with a steel rule.
"""

from __future__ import annotations

import io
import subprocess
from dataclasses import dataclass
from functools import cache

import numpy as np
import numpy.typing as npt
import pypdfium2
import pytest
from PIL import Image

from tests.demos import pdf_of, plan_of, publication_of
from tests.printed import groups_on
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.sheets.bars import bar_lengths
from tiler.sheets.drawing import Stroke

Grey = npt.NDArray[np.uint8]
DPI = 600


@dataclass(frozen=True)
class Print:
    """A rendered page.

    Args:
        grey: Its dots, rows from the top.
        dots: Dots to the millimetre, across and down.
    """

    grey: Grey
    dots: tuple[float, float]


def by_pdfium(pdf: bytes, page: int, scale: float = DPI / 72) -> Print:
    document = pypdfium2.PdfDocument(pdf)
    try:
        grey = np.array(document[page].render(scale=scale, grayscale=True).to_pil())
        width, height = document[page].get_size()
    finally:
        document.close()
    # The page is stretched to a whole number of dots, by a dot at most.
    real = DPI / 72
    across, down = grey.shape[1] / (width * scale), grey.shape[0] / (height * scale)
    return Print(grey, (real * across * 72 / 25.4, real * down * 72 / 25.4))


def by_poppler(pdf: bytes, page: int) -> Print:
    number = str(page + 1)
    done = subprocess.run(
        ["pdftoppm", "-gray", "-r", str(DPI), "-f", number, "-l", number, "-"],
        input=pdf,
        capture_output=True,
        check=True,
    )
    assert done.stderr == b""
    with Image.open(io.BytesIO(done.stdout)) as image:
        return Print(np.array(image), (DPI / 25.4, DPI / 25.4))


@cache
def rendered(program: str, demo: str, paper: str, page: int) -> Print:
    render = {"pdfium": by_pdfium, "poppler": by_poppler}[program]
    return render(pdf_of(demo, paper), page)


def middles(page: Print, box: Bounds, axis: str) -> list[float]:
    """Middles of the lines across a box, page millimetres from the left or from the bottom.

    Darkness is added up over the box in the direction of the lines; runs of dark rows or columns
    are lines, and the middle of a run is its centre of darkness.
    """
    grey, (across, down) = page.grey, page.dots
    height = grey.shape[0]
    rows = slice(round(height - box.top * down), round(height - box.bottom * down))
    columns = slice(round(box.left * across), round(box.right * across))
    dark = (255.0 - grey[rows, columns]) / 255
    profile = dark.mean(axis=0 if axis == "x" else 1)
    ink = profile > 0.4
    # Where runs begin and end.
    edges = np.flatnonzero(np.diff(np.concatenate([[False], ink, [False]]).astype(int)))
    found = []
    for begin, end in edges.reshape(-1, 2):
        # One dot more on either side takes in what the threshold left out of a soft edge.
        low, high = max(begin - 1, 0), min(end + 1, len(profile))
        weight = profile[low:high]
        centre = (weight * (np.arange(low, high) + 0.5)).sum() / weight.sum()
        if axis == "x":
            found.append((columns.start + centre) / across)
        else:
            found.append((height - rows.start - centre) / down)
    return sorted(found)


def squares_of(demo: str, paper: str) -> list[Bounds]:
    """Where the drawing has its squares, smallest first: only to know where to look."""
    boxes = []
    for group in groups_on(publication_of(demo, paper).pages[0], "Measure"):
        if 0 not in dict(group.facts)["Measure"]:
            paths = [p for item in group.items if isinstance(item, Stroke) for p in item.paths]
            boxes.append(bounds_of([path.bounds for path in paths]))
    return sorted(boxes, key=lambda box: box.width)


@pytest.mark.parametrize("program", ["pdfium", "poppler"])
@pytest.mark.parametrize(("demo", "paper"), [("apron", "a4"), ("hat", "letter")])
def test_the_squares_measure_100_mm_and_4_in(program: str, demo: str, paper: str) -> None:
    """Each side of each square, from the middle of one line to the middle of the other."""
    grey = rendered(program, demo, paper, 0)
    inner, outer = squares_of(demo, paper)
    for where in (13.0, 27.0, 43.0, 77.0):
        # A band 2 mm wide across the whole square, between two ticks and clear of the words.
        for axis in ("x", "y"):
            if axis == "x":
                low = inner.bottom + where
                box = Bounds(inner.left - 1, low, outer.right + 0.5, low + 2)
            else:
                low = inner.left + where
                box = Bounds(low, inner.bottom - 1, low + 2, outer.top + 0.5)
            lines = middles(grey, box, axis)
            first = lines[0]
            assert lines[-1] - first == pytest.approx(101.6, abs=0.05)
            assert lines[-2] - first == pytest.approx(100.0, abs=0.05)


@pytest.mark.parametrize("program", ["pdfium", "poppler"])
@pytest.mark.parametrize(("demo", "paper"), [("apron", "a4"), ("hat", "letter")])
@pytest.mark.parametrize("number", [0, 1])
def test_the_check_bars_measure_what_they_say(
    program: str, demo: str, paper: str, number: int
) -> None:
    """From the middle of the first tick to the middle of the last, on two pages."""
    grey = rendered(program, demo, paper, number)
    setup = plan_of(demo, paper).grid.setup
    across, up = bar_lengths(setup)
    paper_edge = setup.printable
    # Only the two end ticks reach up to here; words between them do not fill a run of rows.
    band = (2.2, 2.8)
    level = Bounds(
        paper_edge.left, paper_edge.bottom + band[0], paper_edge.right, paper_edge.bottom + band[1]
    )
    upright = Bounds(
        paper_edge.left + band[0], paper_edge.bottom, paper_edge.left + band[1], paper_edge.top
    )
    for box, axis, length in ((level, "x", across), (upright, "y", up)):
        found = middles(grey, box, axis)
        near_start = min(found)
        near_end = max(found)
        if axis == "y":
            # The strip of words at the top of the page is not part of the bar.
            near_end = max(f for f in found if f < setup.window.top)
        assert near_end - near_start == pytest.approx(length, abs=0.1)


@pytest.mark.parametrize("scale", [0.97, 0.995, 1.005])
def test_a_print_that_was_scaled_does_not_pass(scale: float) -> None:
    """Half a percent, as "fit to page" may do it, is seen on the square."""
    shrunk = by_pdfium(pdf_of("apron", "a4"), 0, DPI / 72 * scale)
    inner, _ = squares_of("apron", "a4")
    # The lower left corner of the page stays where it is; look where the square has moved to.
    low = (inner.bottom + 43) * scale
    shifted = Bounds(inner.left * scale - 1, low, inner.right * scale + 2.2, low + 1.5)
    lines = middles(shrunk, shifted, "x")
    assert abs(lines[-1] - lines[0] - 101.6) > 0.3
