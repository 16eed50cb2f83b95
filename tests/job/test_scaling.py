"""Printers are measured, kept, found and forgotten; no wrong setting is ever kept as one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.demos import DEMO_PIECES
from tiler.job import keeping, read, scaling
from tiler.layout.scale import Judgement, Rule, Verdict
from tiler.pattern.errors import FileError, MeasureError, PaperError

BARS = (190.0, 270.0)


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path))
    return tmp_path


def judged(across: float, up: float, division: float = 0.5) -> Judgement:
    return scaling.judge_print("a4", BARS, (BARS[0] * across, BARS[1] * up), Rule(division))


def test_a_printer_is_kept_and_found_whatever_the_capitals() -> None:
    printer = scaling.printer_of("Home", "A4", judged(1.004, 1.001), 4.2)
    file = scaling.keep_printer(printer)
    assert file.is_file()
    assert scaling.find_printer("hOME") == printer
    assert scaling.printers() == (printer,)
    assert printer.across == pytest.approx(1.004)
    assert printer.paper == "a4"


def test_measuring_it_anew_replaces_it_and_leaves_the_margin() -> None:
    scaling.keep_printer(scaling.printer_of("Home", "a4", judged(1.004, 1.001), 4.2))
    scaling.keep_printer(scaling.printer_of("home", "a4", judged(1.002, 1.001)))
    (kept,) = scaling.printers()
    assert kept.name == "home"
    assert kept.across == pytest.approx(1.002)
    assert kept.margin == 4.2


def test_the_margin_of_another_paper_is_not_taken_over() -> None:
    scaling.keep_printer(scaling.printer_of("Home", "a4", judged(1.004, 1.001), 4.2))
    scaling.keep_printer(scaling.printer_of("home", "letter", judged(1.002, 1.001)))
    assert scaling.find_printer("home").margin is None


def test_it_is_noticed_when_a_measurement_disagrees_with_what_is_kept() -> None:
    """As it does when the page was made up for the printer; +-0.28 % twice is +-0.40 %."""
    kept = scaling.printer_of("home", "a4", judged(1.008, 1.001))
    assert scaling.kept_otherwise(kept) is None
    scaling.keep_printer(kept)
    assert scaling.kept_otherwise(scaling.printer_of("HOME", "a4", judged(1.005, 1.001))) is None
    assert scaling.kept_otherwise(scaling.printer_of("HOME", "a4", judged(1.0, 1.001))) == kept
    assert scaling.kept_otherwise(scaling.printer_of("HOME", "letter", judged(1, 1))) is None


def test_forgetting_one_leaves_the_others() -> None:
    for name in ("home", "office"):
        scaling.keep_printer(scaling.printer_of(name, "a4", judged(1.0, 1.0)))
    assert scaling.forget_printer("HOME") == "home"
    assert [printer.name for printer in scaling.printers()] == ["office"]
    with pytest.raises(FileError, match="office"):
        scaling.forget_printer("home")
    with pytest.raises(FileError, match="no printer called 'home'"):
        scaling.find_printer("home")


@pytest.mark.parametrize(
    ("across", "up"), [(0.94, 0.94), (0.971, 0.971), (1.0, 1.02), (1.41, 1.41)]
)
def test_what_is_not_the_printer_s_own_is_never_kept(across: float, up: float) -> None:
    found = judged(across, up)
    with pytest.raises(MeasureError, match="no error of the printer's own"):
        scaling.printer_of("home", "a4", found)
    assert scaling.printers() == ()


def test_a_measurement_too_coarse_is_not_kept() -> None:
    found = judged(1.0, 1.0, 3.0)
    assert found.verdict is Verdict.TOO_COARSE
    with pytest.raises(MeasureError):
        scaling.printer_of("home", "a4", found)


@pytest.mark.parametrize(
    "change",
    [
        {"across": 0.94},
        {"across": "1.0"},
        {"up": None},
        {"up_pm": -1},
        {"across": True},
        {"margin": "4"},
        {"margin": 400},
        {"paper": 4},
        {"across": 10**400},
    ],
)
def test_an_entry_that_was_damaged_by_hand_is_refused_and_can_be_forgotten(
    home: Path, change: dict[str, object]
) -> None:
    facts = {"across": 1.001, "up": 1.0, "across_pm": 0.003, "up_pm": 0.002, "paper": "a4"}
    text = json.dumps({"printers": {"home": {**facts, **change}}})
    (home / "printers.json").write_text(text)
    with pytest.raises(FileError, match="is damaged") as caught:
        scaling.find_printer("home")
    assert "printers.json" in str(caught.value)
    assert (home / "printers.json").read_text() == text
    scaling.forget_printer("home")
    assert keeping.load("printers") == {}


def test_bars_of_a_page_of_a_pattern_follow_its_margin() -> None:
    """Whole tens that fit between the margins and the strip of marks of 3.4 mm on each side."""
    for margin in (10.0, 12.7, 15.0):
        across, up = scaling.bars_of("a4", "pattern", margin)
        assert across == (210 - 2 * margin - 6.8) // 10 * 10
        assert up == (297 - 2 * margin - 6.8) // 10 * 10


def test_a_page_that_nobody_has_named_is_the_calibration_page() -> None:
    sheet = scaling.bars_of("a4")
    assert scaling.bars_meant("a4", (sheet[0] * 1.004, sheet[1] * 1.001)) == sheet
    # Shrunk pages keep their proportions and are still told apart.
    assert scaling.bars_meant("a4", (sheet[0] * 0.94, sheet[1] * 0.94)) == sheet


@pytest.mark.parametrize("scale", [1.0, 0.997, 0.94, 0.707])
def test_readings_of_the_other_page_are_asked_about(scale: float) -> None:
    pattern = scaling.bars_of("a4", "pattern")
    with pytest.raises(MeasureError, match="--page pattern"):
        scaling.bars_meant("a4", (pattern[0] * scale, pattern[1] * scale))


def test_a_paper_that_there_is_not_is_refused() -> None:
    with pytest.raises(PaperError):
        scaling.bars_of("a44")
    with pytest.raises(PaperError):
        scaling.judge_print("a44", BARS, BARS, Rule(1))


def test_the_error_is_carried_over_the_pattern() -> None:
    pattern = read(DEMO_PIECES / "smock")
    found = scaling.judge_print("a4", BARS, (190 * 0.99, 270 * 0.99), Rule(0.5), pattern)
    girth = found.effects[0]
    assert girth.span.what.startswith("Front and Back")
    assert girth.worst == pytest.approx(-0.01 * girth.span.length)
    assert not found.in_tolerance
