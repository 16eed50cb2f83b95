"""``blocksheet publish --on``: rolls and large sheets, and what is said about them."""

from __future__ import annotations

import re
from pathlib import Path

import pypdf
import pytest

from tests.cli.test_publishing import run

MM = 25.4 / 72


def sizes(file: Path) -> list[tuple[float, float]]:
    """Of all pages, millimetres, read by pypdf."""
    boxes = [page.mediabox for page in pypdf.PdfReader(file).pages]
    return [(float(box.width) * MM, float(box.height) * MM) for box in boxes]


def test_a_roll_is_as_long_as_needed_and_its_length_is_told(tmp_path: Path) -> None:
    told = run("demo:apron", "--on", "roll:914mm", "--effort", "quick", cwd=tmp_path)
    ((width, height),) = sizes(tmp_path / "sheets" / "potting-apron-roll-914mm.pdf")
    assert width == pytest.approx(914, abs=0.01)
    metres, inches = map(
        float, re.search(r"Paper to order: ([0-9.]+) m \(([0-9.]+) in\)", told).groups()
    )
    assert metres == pytest.approx(height / 1000, abs=0.006)
    assert inches == pytest.approx(height / 25.4, abs=0.06)
    naive = float(re.search(r"they would take ([0-9.]+) m", told)[1])
    assert metres <= naive
    share = int(re.search(r"The pieces cover (\d+) % of it", told)[1])
    assert 20 < share < 100
    assert "nothing to tape" in told
    assert "Proven" in told


def test_rolls_in_inches_and_large_sheets_in_one_go(tmp_path: Path) -> None:
    told = run("demo:hat", "--on", "roll:36in", "--on", "A1", "--effort", "quick", cwd=tmp_path)
    ((width, _),) = sizes(tmp_path / "sheets" / "panelled-sun-hat-roll-36in.pdf")
    assert width == pytest.approx(914.4, abs=0.01)
    assert sizes(tmp_path / "sheets" / "panelled-sun-hat-a1.pdf") == [
        pytest.approx((594, 841), abs=0.01)
    ]
    assert told.count("Proven") == 2


def test_one_piece_alone_takes_paper_for_itself_only(tmp_path: Path) -> None:
    words = ("demo:apron", "--on", "roll:914mm", "--effort", "quick")
    run(*words, "--piece", "bib pocket", cwd=tmp_path)
    ((_, height),) = sizes(tmp_path / "sheets" / "potting-apron-bib-pocket-roll-914mm.pdf")
    assert height < 500


def test_a_piece_wider_than_the_roll_is_refused_with_the_remedy(tmp_path: Path) -> None:
    """Its name, its least width, what the roll has, and what to do."""
    told = run("demo:smock", "--on", "roll:420mm", "--effort", "quick", cwd=tmp_path, code=2)
    assert re.search(
        r"piece Sleeve: at its narrowest it is \d+ mm \([^)]* in\) wide, and roll 420 mm has \d+ ",
        told,
    )
    assert "--panels" in told
    assert not list(tmp_path.rglob("*.pdf"))


def test_panels_are_joined_as_pages_are(tmp_path: Path) -> None:
    square = '<svg xmlns="http://www.w3.org/2000/svg" width="600mm" height="700mm" '
    square += 'viewBox="0 0 600 700"><path class="cut" d="M5 5h590v690h-590z"/></svg>'
    (tmp_path / "cushion.svg").write_text(square)
    words = ("cushion.svg", "--on", "roll:420mm", "--effort", "quick")
    assert "--panels" in run(*words, cwd=tmp_path, code=2)
    told = run(*words, "--panels", cwd=tmp_path)
    assert "panels that are joined" in told
    assert "taped" in told
    assert "Proven" in told
    widths = {round(width, 1) for width, _ in sizes(tmp_path / "sheets/cushion-roll-420mm.pdf")}
    assert widths == {420.0}


def test_on_sheets_too_small_for_a_piece_pages_are_taped(tmp_path: Path) -> None:
    told = run("demo:hat", "--on", "a2", "--effort", "quick", cwd=tmp_path)
    assert "pages are joined as smaller ones are" in told
    assert "Proven" in told


@pytest.mark.parametrize(
    ("word", "says"),
    [
        ("roll:914", "no unit"),
        ("roll:", "how wide the roll is"),
        ("roll:5mm", "between 300 mm and 5000 mm"),
        ("roll:7m", "between 300 mm and 5000 mm"),
        ("roll:wide", "not a length"),
        ("a99", "no paper called"),
    ],
)
def test_widths_that_no_roll_has_are_refused(tmp_path: Path, word: str, says: str) -> None:
    told = run("demo:hat", "--on", word, "--effort", "quick", cwd=tmp_path, code=2)
    assert says in told
    assert not (tmp_path / "sheets").exists()
