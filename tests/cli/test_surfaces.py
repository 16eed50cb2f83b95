"""``blocksheet publish`` for a printer of one's own, and on a roll: what is written and said."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pypdf
import pytest

from tests.cli.test_publishing import run

MM = 25.4 / 72
QUICK = ("demo:hat", "--effort", "quick")
#: Prints too large along the short side of the paper, and too small along its long side.
SHED = {"across": 1.012, "up": 0.991, "across_pm": 0.002, "up_pm": 0.002, "paper": "letter"}
PLAIN, MADE_UP = (f"panelled-sun-hat-a4{end}.pdf" for end in ("", "-for-shed-2"))


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    own = tmp_path / "own"
    own.mkdir()
    exact = {**SHED, "across": 1.001, "up": 1.0}
    kept = json.dumps({"printers": {"Shed 2": SHED, "Exact": exact}})
    (own / "printers.json").write_text(kept)
    monkeypatch.setenv("BLOCKSHEET_HOME", str(own))
    return own


def test_pages_for_a_printer_stand_beside_those_for_any_other(tmp_path: Path) -> None:
    """Neither takes the other's place, and each page says for which printer alone it is."""
    sheets = tmp_path / "sheets"
    run(*QUICK, cwd=tmp_path)
    plain = (sheets / PLAIN).read_bytes()
    told = run(*QUICK, "--printer", "shed 2", cwd=tmp_path)
    assert sorted(file.name for file in sheets.iterdir()) == [MADE_UP, PLAIN]
    assert (sheets / PLAIN).read_bytes() == plain
    assert "which prints +1.20 % across and -0.90 % up" in told
    assert "was measured on letter" in told
    assert "Proven" in told
    for page in pypdf.PdfReader(sheets / MADE_UP).pages:
        assert "only for the printer Shed 2" in page.extract_text()
    for page in pypdf.PdfReader(sheets / PLAIN).pages:
        assert "only for" not in page.extract_text()


def test_on_pages_that_lie_its_scales_are_those_of_the_paper_s_sides(tmp_path: Path) -> None:
    told = run(*QUICK, "--orientation", "landscape", "--printer", "SHED-2", cwd=tmp_path)
    assert "which prints +1.20 % across and -0.90 % up the paper" in told


def test_a_printer_that_prints_true_gets_the_pages_for_any(tmp_path: Path) -> None:
    told = run(*QUICK, "--printer", "exact", cwd=tmp_path)
    assert "nothing to make up for" in told
    assert [file.name for file in (tmp_path / "sheets").iterdir()] == [PLAIN]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("--printer", "nobody"),
            "no printer called 'nobody' is kept. Use one of 'Shed 2', 'Exact'",
        ),
        (("--printer", "shed 2", "--on", "roll:914mm"), "tells nothing of a roll"),
    ],
)
def test_what_no_printer_can_be_made_up_for_is_refused(
    tmp_path: Path, words: tuple[str, ...], says: str
) -> None:
    assert says in run(*QUICK, *words, cwd=tmp_path, code=2)
    assert not (tmp_path / "sheets").exists()


@pytest.mark.parametrize(
    ("kept", "says"),
    [
        ({"Shed 2": {**SHED, "across": float("nan")}}, "it is damaged"),
        ({"Shed 2": {**SHED, "across": 0.94}}, "what is kept of printer 'Shed 2' is damaged"),
    ],
)
def test_what_is_kept_and_damaged_is_refused_and_left(
    tmp_path: Path, home: Path, kept: dict[str, object], says: str
) -> None:
    file = home / "printers.json"
    file.write_text(json.dumps({"printers": kept}))
    before = file.read_bytes()
    assert says in run(*QUICK, "--printer", "shed 2", cwd=tmp_path, code=2)
    assert file.read_bytes() == before
    assert not (tmp_path / "sheets").exists()


def test_the_width_of_a_roll_may_be_written_in_any_way(tmp_path: Path) -> None:
    """36 in are 914.4 mm (international inch, 25.4 mm exactly)."""
    told = run(*QUICK, "--on", 'ROLL: 36"', "--on", "roll:36 1/2 in", cwd=tmp_path)
    assert told.count("Proven") == 2
    for name, width in (("36in", 914.4), ("36-1-2in", 927.1)):
        (page,) = pypdf.PdfReader(tmp_path / "sheets" / f"panelled-sun-hat-roll-{name}.pdf").pages
        assert float(page.mediabox.width) * MM == pytest.approx(width, abs=0.01)
        bars = re.findall(r"check bar (\d+) mm", page.extract_text())
        assert max(map(int, bars)) >= 500
