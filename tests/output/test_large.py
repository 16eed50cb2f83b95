"""Files for large paper: as large as they say in readers that did not write them, and proven."""

from __future__ import annotations

import io
import subprocess
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pikepdf
import pypdf
import pypdfium2
import pytest

from tests.demos import pattern_of_demo
from tests.large import laid_on, several_times, written_on
from tiler.layout.plan import Plan
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern
from tiler.proof import prove
from tiler.sheets.drawing import Group, Item
from tiler.sheets.publication import lay_out

MM_PER_PT = 25.4 / 72
#: 14,400 units (ISO 32000-1, Annex C; from memory), millimetres.
LONGEST = 5080.0


@dataclass(frozen=True)
class Printed:
    pattern: Pattern
    plan: Plan
    pdf: bytes


@cache
def printed(case: str) -> Printed:
    """A garment on A0 and on a roll, and enough smocks for more than 6 m of it."""
    if case == "a0":
        pattern = pattern_of_demo("apron")
        plan = laid_on(pattern, "a0")
    elif case == "roll":
        pattern = pattern_of_demo("apron")
        plan = laid_on(pattern, "roll:914mm")
    else:
        pattern = several_times("smock", 6, largest=3)
        plan = laid_on(pattern, "roll:914mm", one_length=case == "one length")
    return Printed(pattern, plan, written_on(pattern, plan))


each = pytest.mark.parametrize("case", ["a0", "roll", "panels", "one length"])


def size_of(case: str) -> tuple[float, float]:
    setup = printed(case).plan.grid.setup
    return setup.width, setup.height


def test_the_sizes_are_those_asked_for() -> None:
    """A0 is 841 x 1189 mm (ISO 216); a roll is as wide as it is; 6 m and more where asked for."""
    assert size_of("a0") == (841, 1189)
    assert size_of("roll")[0] == 914
    assert 500 < size_of("roll")[1] < 1500
    assert len(printed("panels").plan.cells) == 2
    assert 3000 < size_of("panels")[1] < LONGEST
    assert len(printed("one length").plan.cells) == 1
    assert size_of("one length")[1] > 6000


@each
def test_qpdf_finds_nothing_to_complain_about(case: str, tmp_path: Path) -> None:
    file = tmp_path / "large.pdf"
    file.write_bytes(printed(case).pdf)
    done = subprocess.run(
        ["qpdf", "--check", str(file)], capture_output=True, text=True, check=True
    )
    assert "No syntax or stream encoding errors found" in done.stdout
    assert done.stderr == ""


@pytest.mark.parametrize("case", ["a0", "roll", "panels"])
def test_pdfium_and_poppler_see_pages_of_that_size(case: str) -> None:
    """No side is over 14,400 units, so every reader shows true size without knowing UserUnit."""
    document = pypdfium2.PdfDocument(printed(case).pdf)
    try:
        assert len(document) == len(printed(case).plan.cells)
        for page in document:
            size = [side * MM_PER_PT for side in page.get_size()]
            assert size == pytest.approx(size_of(case), abs=0.01)
            assert max(page.get_size()) <= 14_400
    finally:
        document.close()
    told = subprocess.run(
        ["pdfinfo", "-f", "1", "-l", "99", "-"], input=printed(case).pdf, capture_output=True
    ).stdout.decode()
    rows = [
        line.split() for line in told.splitlines() if line.startswith("Page ") and "size" in line
    ]
    assert len(rows) == len(printed(case).plan.cells)
    for row in rows:
        points = [float(word) for word in row if word.replace(".", "").isdigit()][-2:]
        assert [p * MM_PER_PT for p in points] == pytest.approx(size_of(case), abs=0.01)
    assert "UserUnit" not in told


def test_one_long_page_has_its_size_in_user_units() -> None:
    """Read by qpdf's library and by pypdf: box times UserUnit (ISO 32000-1, table 30).

    pdfium (pypdfium2 5) and poppler 22.12 were measured to show such a page at half its size, and
    MuPDF 1.26 in true size: the reason why several pages are the default.
    """
    pdf, size = printed("one length").pdf, size_of("one length")
    with pikepdf.open(io.BytesIO(pdf)) as document:
        (page,) = document.pages
        unit = float(page.UserUnit)
        box = [float(side) for side in page.mediabox]
        assert document.pdf_version >= "1.6"
    assert (unit, box[:2]) == (2.0, [0.0, 0.0])
    assert [side * unit * MM_PER_PT for side in box[2:]] == pytest.approx(size, abs=0.01)
    assert max(box) <= 14_400
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.pages[0].user_unit == 2.0
    sides = [float(side) * 2.0 * MM_PER_PT for side in reader.pages[0].mediabox.upper_right]
    assert sides == pytest.approx(size, abs=0.01)


@each
def test_it_is_proven(case: str, tmp_path: Path) -> None:
    """Every line of every piece, on the page where the file says, to a hundredth."""
    file = tmp_path / "large.pdf"
    file.write_bytes(printed(case).pdf)
    verdict = prove(file, printed(case).pattern)
    assert verdict.proven, verdict.sentences(limit=5)
    assert verdict.pages == len(printed(case).plan.cells)
    assert verdict.pieces == len(printed(case).pattern.pieces)


@pytest.mark.parametrize("case", ["roll", "one length"])
def test_the_squares_measure_true_in_pixels(case: str) -> None:
    """300 dpi, rendered by pdfium: 100 mm from the middle of one line to that of the other.

    On the long page pdfium draws half as large, as it does not heed UserUnit: twice the dots.
    """
    unit = 2 if case == "one length" else 1
    document = pypdfium2.PdfDocument(printed(case).pdf)
    try:
        page = document[0]
        width, height = page.get_size()
        across = width - 140 / 25.4 * 72 / unit
        down = height - 135 / 25.4 * 72 / unit
        pixels = np.asarray(
            page.render(scale=300 / 72 * unit, crop=(0, down, across, 0), grayscale=True).to_pil()
        )
    finally:
        document.close()
    dark = pixels < 128
    # Lines of the squares: 100 mm dark without a gap.
    long = round(99 / 25.4 * 300)
    for axis in (0, 1):
        runs = _longest_runs(dark if axis else dark.T)
        places = np.flatnonzero(runs >= long)
        groups = np.split(places, np.flatnonzero(np.diff(places) > 2) + 1)
        middles = [(group[0] + group[-1]) / 2 for group in groups]
        gaps = [(b - a) / 300 * 25.4 for a in middles for b in middles if b > a]
        assert any(gap == pytest.approx(100.0, abs=0.1) for gap in gaps), gaps
        assert any(gap == pytest.approx(101.6, abs=0.1) for gap in gaps), gaps


def _longest_runs(dark: np.ndarray) -> np.ndarray:
    """Of each row, how many dark pixels follow each other at most."""
    longest = np.zeros(len(dark), dtype=int)
    current = np.zeros(len(dark), dtype=int)
    for column in dark.T:
        current = (current + 1) * column
        longest = np.maximum(longest, current)
    return longest


def test_the_same_pattern_gives_the_same_bytes() -> None:
    """Layout and file depend on nothing but the pattern and what is asked."""
    pattern = pattern_of_demo("apron")
    assert written_on(pattern, laid_on(pattern, "a0")) == printed("a0").pdf


def test_a_head_that_covers_pieces_is_not_proven(tmp_path: Path) -> None:
    """Whatever a layout says: where its words stand no line of the pattern may be."""
    given = printed("roll")
    head = given.plan.head
    assert head is not None
    wrong = replace(given.plan, head=head._replace(bottom=head.bottom - 40))
    file = tmp_path / "covered.pdf"
    file.write_bytes(written_on(given.pattern, wrong))
    verdict = prove(file, given.pattern)
    assert not verdict.proven
    assert any("through the head of the paper" in s for s in verdict.sentences(limit=50))


def test_a_first_sheet_without_its_squares_is_not_proven(tmp_path: Path) -> None:
    """Large paper has no start page, and must be checked all the same."""
    given = printed("roll")
    publication = lay_out(given.pattern, given.plan)
    (page,) = publication.pages
    kept = tuple(
        replace(item, items=tuple(each for each in item.items if not _is_square(each)))
        if isinstance(item, Group)
        else item
        for item in page.items
    )
    file = tmp_path / "bare.pdf"
    file.write_bytes(pdf_bytes(replace(publication, pages=(replace(page, items=kept),))))
    verdict = prove(file, given.pattern)
    assert sum("calibration square" in s for s in verdict.sentences(limit=50)) == 2


def _is_square(item: Item) -> bool:
    return isinstance(item, Group) and any(
        name == "Measure" and value[0] > 0 and value[1] > 0
        for name, value in item.facts
        if isinstance(value, tuple)
    )


def test_a_file_whose_unit_is_changed_is_not_proven(tmp_path: Path) -> None:
    """Half the unit is half the size for a reader that heeds it."""
    file = tmp_path / "shrunk.pdf"
    with pikepdf.open(io.BytesIO(printed("one length").pdf)) as document:
        document.pages[0].UserUnit = 1
        document.save(file)
    verdict = prove(file, printed("one length").pattern)
    assert not verdict.proven
    assert any("UserUnit" in sentence for sentence in verdict.sentences(limit=50))
