"""A block that we printed comes back from a photo as it was drawn, and goes on to sheets."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from pypdfium2 import PdfDocument

from tests.photographs.arranging import random_camera
from tests.photographs.cardface import printed_bars
from tests.photographs.photograph import photograph
from tests.photographs.scene import CardOnTable, Print, Scene
from tests.photographs.truth import deviation
from tiler.drafting.checks import check
from tiler.intake.folder import read_pattern
from tiler.job.capturing import CapturedFolder, CaptureWishes, capture_folder
from tiler.job.options import Surface
from tiler.job.publishing import publish
from tiler.job.reading import read
from tiler.job.starting import Answers
from tiler.pattern.model import Pattern, Piece, Role
from tiler.proof import prove

CROWN = Path(__file__).parents[2] / "demo_pieces" / "hat" / "crown_panel.svg"
#: One demo panel as a block: nothing is added to its stitch line.
BLOCK = """
title = "Crown block"
allowance = "0 mm"
traced = "stitch"
[cloth]
main = "Canvas"

[[piece]]
name = "Crown panel"
drawing = "crown_panel.svg"
cut = { count = 6, cloth = "main", lay = "copies" }
notches = [{ edge = "C", at = "50 %" }]
"""
#: Pixels to the millimetre of the printed page, and what the printer made of the cards.
PX, ALONG, ACROSS = 10.0, 0.997, 1.002
A3 = (420.0, 297.0)
#: Cards on the floor round an A3 sheet about 0, by hand: x, y of a corner, turn.
CARDS = ((-400, -50, 4), (232, 20, -6), (-20, 168, 2), (-130, -275, -3), (330, -190, 86))


@dataclass(frozen=True)
class Taken:
    """A photo of a sheet that lies on the floor with cards round it."""

    folder: Path
    drawn: np.ndarray

    @property
    def photo(self) -> Path:
        return self.folder / "IMG_0043.jpg"


def block(folder: Path) -> Pattern:
    """A pattern folder, made from the demo's traced outline, as `publish` reads it."""
    folder.mkdir()
    (folder / CROWN.name).write_bytes(CROWN.read_bytes())
    (folder / "pattern.toml").write_text(BLOCK)
    return read(folder)


def page_of(pdf: Path) -> Print:
    """The last page as pdfium sees it: the front page lies before it. Its middle is 0, 0."""
    with PdfDocument(pdf) as document:
        page = document[len(document) - 1]
        size = [side * 25.4 / 72 for side in page.get_size()]
        assert size == pytest.approx(A3, abs=0.02)
        grey = page.render(scale=PX * 25.4 / 72, grayscale=True).to_numpy().squeeze()
        return Print(np.array(grey, np.uint8), PX, -A3[0] / 2, A3[1] / 2)


def photographed(folder: Path) -> Taken:
    """Print the block on one sheet of A3, and take a photo of it with 8 megapixels."""
    pattern = block(folder / "block")
    (published,) = publish(pattern, [Surface("a3", orientation="landscape")], folder / "sheets")
    wide, high = A3
    sheet = np.array([(0, 0), (wide, 0), (wide, high), (0, high)]) - (wide / 2, high / 2)
    cards = (
        CardOnTable(number, x, y, turn, ALONG, ACROSS)
        for number, (x, y, turn) in enumerate(CARDS, 1)
    )
    scene = Scene(
        sheet, (), tuple(cards), (0.85, 0.86, 0.86), ragged=0.0, printed=page_of(published.file)
    )
    camera = random_camera(8, scene, width=3264, height=2448, tilt=17)
    taken = Taken(
        folder,
        np.array(read_pattern(folder / "block").pieces[0].outlines[0].path.flattened(0.01)[:-1]),
    )
    taken.photo.write_bytes(photograph(scene, camera, 8))
    return taken


def wishes() -> CaptureWishes:
    """What a careful person reads off the printed bars, to 0.1 mm."""
    across, up = printed_bars()
    read_off = round(across * ALONG, 1), round(up * ACROSS, 1)
    answers = Answers(title="Crown", traced=Role.STITCH)
    return CaptureWishes(*read_off, division=0.5, answers=answers)


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> tuple[Taken, CapturedFolder, Piece]:
    folder = tmp_path_factory.mktemp("printed")
    taken = photographed(folder)
    told = capture_folder([taken.photo], folder / "crown", wishes())
    (piece,) = read_pattern(folder / "crown").pieces
    return taken, told, piece


def test_the_printed_line_comes_back_where_the_demo_has_it(
    done: tuple[Taken, CapturedFolder, Piece],
) -> None:
    """After turning and shifting alone, though it is only half a millimetre wide in print."""
    taken, _, piece = done
    (outline,) = piece.outlines
    assert outline.role is Role.STITCH
    found = np.array(outline.path.flattened(0.01)[:-1])
    off = deviation([(found, True)], [(taken.drawn, True)])
    assert off.p95 < 0.6
    assert off.worst < 1.2


def test_its_grain_arrow_is_the_grain_and_its_words_are_no_lines(
    done: tuple[Taken, CapturedFolder, Piece],
) -> None:
    """The arrow of the demo is 106 mm long, along the panel, and has filled heads in print."""
    _, told, piece = done
    assert piece.lines == ()
    assert piece.grain is not None
    assert piece.grain.length == pytest.approx(106, abs=3)
    assert any(finding.code == "writing-left-out" for finding in told.findings)


def test_its_notch_stands_in_the_middle_of_the_lower_edge(
    done: tuple[Taken, CapturedFolder, Piece],
) -> None:
    """The printed wedge stands out from the line; the demo's edge C is 98 mm long."""
    _, _, piece = done
    (notch,) = piece.marks
    assert notch.role is Role.NOTCH
    short = min(piece.outlines[0].edges, key=lambda edge: edge.path.length)
    assert short.path.length == pytest.approx(98, abs=0.5)
    for corner in (short.path.start, short.path.end):
        assert np.hypot(notch.at.x - corner.x, notch.at.y - corner.y) == pytest.approx(49, abs=1)


def test_it_goes_on_to_sheets_that_prove(done: tuple[Taken, CapturedFolder, Piece]) -> None:
    taken, _, _ = done
    pattern = read(taken.folder / "crown")
    assert check(pattern) == ()
    (published,) = publish(pattern, [Surface("a4")], taken.folder / "again")
    assert prove(published.file, pattern).proven
