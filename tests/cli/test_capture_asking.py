"""``blocksheet capture`` asks for what ``blocksheet new`` asks for; stopped, it leaves nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

import tiler.cli.capturing
import tiler.intake.photo.capture as chain
from tests.cli.owncommand import Ended, blocksheet
from tests.output.capture.invented import invented, photo
from tiler.intake.folder import read_pattern
from tiler.pattern.model import Cut, Lay, Role

BARS = ("--across", "190mm", "--up", "240mm")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where a photo lies; what is found on it is invented, and somebody is there."""
    Image.fromarray(photo().pixels).save(tmp_path / "shed.jpg")
    monkeypatch.setattr(chain, "capture", lambda *_: invented())
    monkeypatch.setattr(tiler.cli.capturing, "somebody_there", lambda: True)
    return tmp_path


def capture(folder: Path, *words: str, said: str = "") -> Ended:
    return blocksheet("capture", "shed.jpg", *words, "--out", "smock", cwd=folder, said=said)


def test_options_say_what_no_photo_can(folder: Path) -> None:
    """With --ask-nothing nobody is asked."""
    told = capture(
        folder,
        *BARS,
        "--ask-nothing",
        *("--title", "Potting smock", "--maker", "Allotment society", "--traced", "stitch"),
        *("--allowance", "12mm", "--cloth", "firm cotton twill", "--cut", "2 pair"),
    )
    assert told.returncode == 0, told.stderr
    assert "Not said yet" not in told.stdout
    pattern = read_pattern(folder / "smock")
    (piece,) = pattern.pieces
    assert (pattern.title, pattern.maker) == ("Potting smock", "Allotment society")
    assert dict(pattern.cloths)["main"] == "firm cotton twill"
    assert piece.allowance == 12.0
    assert piece.outlines[0].role is Role.STITCH
    assert piece.cuts == (Cut(2, "main", Lay.PAIR),)


def test_at_a_terminal_it_asks_for_the_rest(folder: Path) -> None:
    """Bars first; then what the found piece is, as it was captured."""
    said = "189.8mm\n239.9mm\nPotting smock\nstitch\n12 mm\ncotton twill\n2 copies\n"
    told = capture(folder, said=said)
    assert told.returncode == 0, told.stderr
    assert "as drawn" in told.stdout
    assert "measure the bars again" in told.stdout
    assert "Not said yet" not in told.stdout
    pattern = read_pattern(folder / "smock")
    assert (pattern.title, pattern.pieces[0].allowance) == ("Potting smock", 12.0)
    assert pattern.pieces[0].cuts == (Cut(2, "main", Lay.COPIES),)


def test_enter_leaves_each_question_for_later(folder: Path) -> None:
    told = capture(folder, *BARS, said="\n\n\n\n\n")
    assert told.returncode == 0, told.stderr
    assert "Not said yet: which line was traced" in told.stdout
    assert read_pattern(folder / "smock").title == "Smock"


def test_with_ask_nothing_the_bars_have_to_be_said(folder: Path) -> None:
    told = capture(folder, "--ask-nothing")
    assert told.returncode == 2
    assert "never guessed" in told.stderr


def test_stopped_at_a_question_it_leaves_nothing(folder: Path) -> None:
    """The answers end, which is what Ctrl-D does; Ctrl-C is the same to click."""
    told = capture(folder, *BARS, said="Potting smock\n")
    assert told.returncode == 2
    assert "stopped" in told.stderr
    assert [file.name for file in folder.iterdir()] == ["shed.jpg"]


def test_stopped_while_it_measures_it_leaves_nothing(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> object:
        raise KeyboardInterrupt

    monkeypatch.setattr(chain, "capture", stop)
    told = capture(folder, *BARS)
    assert told.returncode == 2
    assert "stopped before it was finished" in told.stderr
    assert [file.name for file in folder.iterdir()] == ["shed.jpg"]


def test_a_cut_of_a_piece_that_is_not_there_is_refused_without_a_picture(folder: Path) -> None:
    """The photo is not what is wrong."""
    told = capture(folder, *BARS, "--ask-nothing", "--cut", "Collar=2 pair")
    assert told.returncode == 2
    assert 'no piece "Collar"' in told.stderr
    assert [file.name for file in folder.iterdir()] == ["shed.jpg"]
