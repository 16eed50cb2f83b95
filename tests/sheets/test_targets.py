"""Target cards: what is printed is OpenCV's own board at true size, and the page can be read."""

from __future__ import annotations

import json
import subprocess
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
import pytest
import shapely

from tests.printed import fills_on, words_on
from tests.sheets.test_nothing_overlaps import colliding_words, outside_words, struck_words
from tiler.intake.photo import cards
from tiler.layout.papers import find_paper
from tiler.output.pdf import pdf_bytes
from tiler.pattern.errors import PaperError
from tiler.sheets.drawing import Publication
from tiler.sheets.targets import draw_targets

PAPERS = ("a4", "letter", "legal", "a3", "tabloid", "a0")
DPI = 300


@cache
def sheets(paper: str) -> Publication:
    return draw_targets(find_paper(paper))


def pdfium(pdf: Path, page: int) -> np.ndarray:
    with pypdfium2.PdfDocument(pdf) as document:
        return np.array(document[page].render(scale=DPI / 72, grayscale=True).to_numpy()).squeeze()


def poppler(pdf: Path, page: int) -> np.ndarray:
    out = pdf.with_suffix("")
    number = str(page + 1)
    subprocess.run(
        ["pdftoppm", "-r", str(DPI), "-gray", "-singlefile", "-f", number, "-l", number, pdf, out],
        check=True,
    )
    picture = cv2.imread(str(out.with_suffix(".pgm")), cv2.IMREAD_GRAYSCALE)
    assert picture is not None
    return picture


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("render", [pdfium, poppler])
def test_opencv_finds_every_corner_where_the_record_says(
    paper: str, render: object, tmp_path: Path
) -> None:
    """Each inner corner within 0.02 mm, as drawn by two renderers that share no code with us."""
    file = tmp_path / "cards.pdf"
    file.write_bytes(pdf_bytes(sheets(paper)))
    record = json.loads(sheets(paper).attachments[0].content)
    for page in (0, 1):
        picture = render(file, page)  # type: ignore[operator]
        # Both make whole pixels of the page: pdfium by stretching it, poppler by adding to it.
        width, height = sheets(paper).pages[page].width, sheets(paper).pages[page].height
        mm = width / picture.shape[1] if render is pdfium else 25.4 / DPI
        mm_up = height / picture.shape[0] if render is pdfium else 25.4 / DPI
        for card in (c for c in record["cards"] if c["page"] == page + 1):
            # No more than the card is looked at, which is quicker.
            first, last = ((height - card["bottom"] - h) / mm_up for h in (card["height"], 0))
            low = int(first)
            part = np.ascontiguousarray(picture[low : int(last)])
            detector = cv2.aruco.CharucoDetector(cards.board_of(card["number"]))
            corners, ids, _, _ = detector.detectBoard(part)
            assert ids.ravel().tolist() == list(range(cards.CORNERS))
            refined = cv2.cornerSubPix(
                part, corners.copy(), (7, 7), (-1, -1), (3, 100, 1e-4)
            ).reshape(-1, 2)
            found = np.column_stack(
                ((refined[:, 0] + 0.5) * mm, height - (refined[:, 1] + low + 0.5) * mm_up)
            )
            left, bottom = card["left"] + record["border"], card["bottom"] + record["border"]
            true = [
                # OpenCV counts from the upper left, row by row; squares are 21 mm.
                (left + 21 * (nth % 7 + 1), bottom + 21 * (4 - nth // 7))
                for nth in range(cards.CORNERS)
            ]
            assert np.abs(found - true).max() < 0.02


@pytest.mark.parametrize("paper", PAPERS)
def test_everything_can_be_read(paper: str) -> None:
    """Words keep clear of words, lines, dark areas and the margin, and are of 7 pt at least."""
    for page in sheets(paper).pages:
        printable = shapely.box(10, 10, page.width - 10, page.height - 10)
        assert colliding_words(page) == []
        assert struck_words(page, lambda _: True) == []
        assert outside_words(page, printable) == []
        assert [words for words in words_on(page) if words.size_pt < 7 - 1e-6] == []
        dark = shapely.union_all([fill.ink for fill in fills_on(page)])
        assert [w.text for w in words_on(page) if w.ink.buffer(-0.1).intersects(dark)] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_the_rim_stays_white_next_to_the_squares(paper: str) -> None:
    """More than one cell of a marker, 15/7 mm: the quiet zone that OpenCV's detector wants."""
    record = json.loads(sheets(paper).attachments[0].content)
    for card in record["cards"]:
        page = sheets(paper).pages[card["page"] - 1]
        rim = record["border"]
        whole = shapely.box(
            card["left"] + rim,
            card["bottom"] + rim,
            card["left"] + card["width"] - rim,
            card["bottom"] + card["height"] - rim,
        )
        near = min(words.ink.distance(whole) for words in words_on(page))
        assert near > 15 / 7


def test_lengths_are_told_in_both_units() -> None:
    """An inch is 25.4 mm."""
    texts = " ".join(words.text for words in words_on(sheets("a4").pages[0]))
    record = json.loads(sheets("a4").attachments[0].content)
    assert record["kind"] == "target cards"
    assert record["bars"][0] >= 150
    assert record["bars"][1] >= 220
    for length in record["bars"]:
        assert f"{length:.0f} mm = {length / 25.4:.3f} in" in texts


def test_small_papers_are_refused() -> None:
    """Cards that fit on A5 could not be told apart from across a table."""
    for paper in ("a5", "b5"):
        with pytest.raises(PaperError, match="too small"):
            draw_targets(find_paper(paper))
