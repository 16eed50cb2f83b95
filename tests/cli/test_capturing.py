"""``blocksheet targets`` and ``blocksheet capture`` as a user types them."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PIL import Image

import tiler.intake.photo.capture as chain
from tests.cli.owncommand import blocksheet
from tests.cli.terminal import at_terminal
from tests.output.capture.invented import invented, photo
from tiler.intake.folder import read_pattern

BARS = ("--across", "190mm", "--up", "240mm")


@pytest.fixture
def shot(tmp_path: Path) -> Path:
    Image.fromarray(photo().pixels).save(tmp_path / "shed.jpg")
    return tmp_path / "shed.jpg"


def test_targets_are_written_and_the_next_step_is_told(tmp_path: Path) -> None:
    told = blocksheet("targets", "--paper", "letter", "--out", tmp_path)
    assert told.returncode == 0
    assert (tmp_path / "target-cards-letter.pdf").exists()
    assert told.stdout.splitlines()[-1].startswith("Next: blocksheet capture PHOTO")
    assert "fingers" in told.stdout


@pytest.mark.parametrize("words", [("--paper", "a5"), ("--cards", "2"), ("--cards", "99")])
def test_targets_that_cannot_be_are_refused(tmp_path: Path, words: tuple[str, str]) -> None:
    told = blocksheet("targets", *words, "--out", tmp_path)
    assert told.returncode == 2
    assert list(tmp_path.iterdir()) == []


def test_a_capture_tells_what_was_written_how_sure_it_is_and_what_comes_next(
    tmp_path: Path, shot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chain, "capture", lambda *_: invented())
    folder = tmp_path / "potting smock"
    told = blocksheet("capture", shot, *BARS, "--out", folder, "--traced", "stitch")
    assert told.returncode == 0
    lines = told.stdout.splitlines()
    assert lines[:3] == [
        str(folder / n) for n in ("pattern.toml", "potting_smock.svg", "capture.jpg")
    ]
    assert "Lines are within 0.4 mm (95 % of their length), worst 0.7 mm at the right." in lines
    assert "A line was left out." in told.stderr
    assert lines[-1].startswith(f"Next: blocksheet look '{folder}' --picture")
    assert read_pattern(folder).title == "Potting smock"


def test_true_size_is_never_guessed(tmp_path: Path, shot: Path) -> None:
    """Nobody is there to be asked."""
    told = blocksheet("capture", shot, "--out", tmp_path / "smock")
    assert told.returncode == 2
    assert "never guessed" in told.stderr
    assert "--across" in told.stderr
    assert list(tmp_path.iterdir()) == [shot]


def test_at_a_terminal_it_asks_for_the_bars(tmp_path: Path, shot: Path) -> None:
    """And goes on with them; this photo has no cards."""
    answers = [("short side of the paper", "189.5 mm\n"), ("long side of the paper", "24 cm\n")]
    code, screen = at_terminal(("capture", shot, "--out", "smock"), tmp_path, answers)
    assert "190 mm when true" in screen
    assert "240 mm when true" in screen
    assert code == 2
    assert "card" in screen.splitlines()[-1]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "PHOTO"),
        (("shed.jpg", "--style", "long"), "no name with letters"),
        (("shed.jpg", "--style", "very long=AB"), "more than one word"),
        (("shed.jpg", "--piece", "Front=A", "--piece", "Front=B"), "said twice"),
        (("shed.jpg", "--across", "7.48in", "--up", "9.45mm"), "unit is probably wrong"),
        (("nothing.jpg",), "no such file"),
        (("other.pdf",), "PDF"),
        (("shed.jpg", "--printer", "kitchen", "--up", "1 furlong"), "furlong"),
    ],
)
def test_slips_are_told_without_a_traceback(
    tmp_path: Path, shot: Path, words: tuple[str, ...], said: str
) -> None:
    (tmp_path / "other.pdf").write_bytes(b"%PDF-1.7")
    bars = () if {"--across", "--up"} & set(words) else BARS
    told = blocksheet("capture", *words, *bars, "--out", "smock", cwd=tmp_path)
    assert told.returncode == 2
    assert said in told.stderr
    assert not (tmp_path / "smock").exists()
    assert shot.exists()


def test_who_lacks_the_libraries_is_told_how_to_get_them(
    tmp_path: Path, shot: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "cv2", None)
    for words in (("capture", shot, *BARS, "--out", tmp_path / "smock"), ("targets",)):
        told = blocksheet(*words, cwd=tmp_path)
        assert told.returncode == 2
        assert 'pip install "blocksheet[photo]"' in told.stderr
