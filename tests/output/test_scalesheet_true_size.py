"""The calibration page measured on its dots at 600 dpi, as two programs render it.

Nominal lengths are worked out by hand: the paper less 10 mm on either side, in whole tens; and the
largest right triangle of sides 3 : 4 : 5 (Pythagoras) in steps of 50 mm of its long side.
"""

from __future__ import annotations

import math
import subprocess
from functools import cache
from pathlib import Path

import pytest

from tests.output.test_true_size import Print, by_pdfium, by_poppler, middles
from tiler.job.scalesheet import write_scale_sheet
from tiler.layout.scale import Printer
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds

#: Width and height (ISO 216; 8.5 x 11 in and 8.5 x 14 in), bar across, bar up, diagonal, mm.
SHEETS = {
    "a4": (210.0, 297.0, 190.0, 270.0, 300.0),
    "letter": (215.9, 279.4, 190.0, 250.0, 300.0),
    "a5": (148.0, 210.0, 120.0, 190.0, 200.0),
    "a3": (297.0, 420.0, 270.0, 400.0, 450.0),
    "legal": (215.9, 355.6, 190.0, 330.0, 300.0),
}
#: Prints 0.9 % too large across and 0.7 % too small up.
SHED = Printer("Potting shed", 1.009, 0.993, 0.001, 0.001, "a4")
#: From the paper's edge to the line of a bar, and where the crosses stand, as drawn: only to know
#: where to look.
DEPTH = 21.5
NEAR = 1.4

PAGES = [*((paper, None) for paper in SHEETS), ("a4", SHED), ("letter", SHED)]


@cache
def written(paper: str, printer: Printer | None, folder: Path) -> bytes:
    name = f"{paper}-{printer.name if printer else 'plain'}.pdf"
    return write_scale_sheet(paper, folder / name, printer).read_bytes()


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("calibration")


class Measured:
    """A rendered page as it would lie on the table once the printer has printed it."""

    def __init__(self, page: Print, paper: str, printer: Printer | None) -> None:
        self.page = page
        self.width, self.height = SHEETS[paper][:2]
        self.scale = (printer.across, printer.up) if printer else (1.0, 1.0)

    def line(self, box: Bounds, axis: str) -> float:
        """Where the only line in a box of the printed page is."""
        (found,) = middles(self.page, self._sent(box), axis)
        side, scale = (self.width, self.scale[0]) if axis == "x" else (self.height, self.scale[1])
        return side / 2 + (found - side / 2) * scale

    def _sent(self, box: Bounds) -> Bounds:
        """Where that box is on the page before it is printed."""
        x, y = self.width / 2, self.height / 2
        across, up = self.scale
        return Bounds(
            x + (box.left - x) / across,
            y + (box.bottom - y) / up,
            x + (box.right - x) / across,
            y + (box.top - y) / up,
        )

    def cross(self, near: Point) -> Point:
        """The middle of a cross: of its upright arm, and of the other, clear of the middle."""
        low, high, beside = 0.7, 1.8, 0.5
        x = self.line(Bounds(near.x - beside, near.y + low, near.x + beside, near.y + high), "x")
        y = self.line(Bounds(near.x + low, near.y - beside, near.x + high, near.y + beside), "y")
        return Point(x, y)


@pytest.mark.parametrize("program", ["pdfium", "poppler"])
@pytest.mark.parametrize(
    ("paper", "printer"), PAGES, ids=lambda v: v if isinstance(v, str) else "made up" if v else "-"
)
def test_bars_and_diagonals_measure_what_they_say(
    program: str, paper: str, printer: Printer | None, folder: Path
) -> None:
    """Within 0.05 mm, from middle to middle; a page that is made up, once its printer has erred."""
    pdf = written(paper, printer, folder)
    page = by_pdfium(pdf, 0) if program == "pdfium" else by_poppler(pdf, 0)
    width, height, across, up, diagonal = SHEETS[paper]
    on_table = Measured(page, paper, printer)

    def across_end(x: float) -> float:
        return on_table.line(Bounds(x - NEAR, DEPTH - 2.8, x + NEAR, DEPTH - 0.6), "x")

    def up_end(y: float) -> float:
        return on_table.line(Bounds(DEPTH - 2.8, y - NEAR, DEPTH - 0.6, y + NEAR), "y")

    left, foot = (width - across) / 2, (height - up) / 2
    assert across_end(left + across) - across_end(left) == pytest.approx(across, abs=0.05)
    assert up_end(foot + up) - up_end(foot) == pytest.approx(up, abs=0.05)

    wide, high = diagonal * 3 / 5, diagonal * 4 / 5
    x = (width - wide) / 2
    y = min(max((height - high) / 2, DEPTH + 7), height - 12 - high)
    a, b, c, d = (on_table.cross(p) for p in Bounds(x, y, x + wide, y + high).corners())
    assert a.to(c) == pytest.approx(diagonal, abs=0.05)
    assert b.to(d) == pytest.approx(diagonal, abs=0.05)
    # The bars and the sides of the rectangle run along the paper.
    assert math.degrees(math.atan2(b.y - a.y, b.x - a.x)) == pytest.approx(0, abs=0.02)
    assert math.degrees(math.atan2(d.y - a.y, d.x - a.x)) == pytest.approx(90, abs=0.02)


@pytest.mark.parametrize(
    ("paper", "printer"), PAGES, ids=lambda v: v if isinstance(v, str) else "made up" if v else "-"
)
def test_other_programs_find_a_sound_file_of_the_papers_size(
    paper: str, printer: Printer | None, folder: Path
) -> None:
    """qpdf has nothing to complain about; poppler reads the size and that nothing be scaled."""
    file = folder / f"{paper}.pdf"
    file.write_bytes(written(paper, printer, folder))
    checked = subprocess.run(["qpdf", "--check", file], capture_output=True, check=True, text=True)
    assert checked.stderr == ""
    assert "No syntax or stream encoding errors found" in checked.stdout
    told = subprocess.run(["pdfinfo", file], capture_output=True, check=True, text=True).stdout
    size = next(line for line in told.splitlines() if line.startswith("Page size")).split()
    assert float(size[2]) / 72 * 25.4 == pytest.approx(SHEETS[paper][0], abs=0.001)
    assert float(size[4]) / 72 * 25.4 == pytest.approx(SHEETS[paper][1], abs=0.001)
    assert "Pages:           1\n" in told
    shown = subprocess.run(["qpdf", "--json", file], capture_output=True, check=True, text=True)
    assert '"/PrintScaling": "/None"' in shown.stdout


@pytest.mark.parametrize("paper", SHEETS)
def test_poppler_reads_the_lengths_that_are_told(paper: str, folder: Path) -> None:
    """The nominal lengths stand on the page in words, in millimetres and inches."""
    pdf = written(paper, None, folder)
    told = subprocess.run(
        ["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()
    said = " ".join(told.split())
    _, _, across, up, diagonal = SHEETS[paper]
    for length in (across, up, diagonal):
        assert f"{length:.0f} mm" in said
        assert f"{length / 25.4:.3f} in" in said


def test_the_same_page_is_the_same_bytes(tmp_path: Path) -> None:
    """Whenever and wherever it is written."""
    files = [write_scale_sheet("a4", tmp_path / f"{n}.pdf", SHED) for n in range(2)]
    assert files[0].read_bytes() == files[1].read_bytes()
