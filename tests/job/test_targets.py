"""Writing target cards: proven or not there."""

from __future__ import annotations

from pathlib import Path

import pytest

import tiler.sheets.targets as drawing
from tiler.job.targets import write_targets
from tiler.pattern.affine import Affine
from tiler.pattern.errors import BlocksheetError, NotProvenError, PaperError
from tiler.proof import prove
from tiler.sheets.drawing import Group, Item
from tiler.sheets.targetcard import draw_card


def test_it_writes_the_pages_and_says_where(tmp_path: Path) -> None:
    """Into a folder that is not there yet, too."""
    target = tmp_path / "shed" / "cards.pdf"
    assert write_targets("Letter", target, 5) == target
    assert [file.name for file in target.parent.iterdir()] == ["cards.pdf"]


def test_pages_with_a_wrong_card_are_never_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The file that was there stays."""

    def wrong(number: int, at: object) -> list[Item]:
        return [Group(tuple(draw_card(number, at)), Affine.move(0.1, 0))]  # type: ignore[arg-type]

    monkeypatch.setattr(drawing, "draw_card", wrong)
    target = tmp_path / "cards.pdf"
    target.write_bytes(b"what was there before")
    with pytest.raises(NotProvenError, match="is not where it should be"):
        write_targets("a4", target)
    assert target.read_bytes() == b"what was there before"
    assert [file.name for file in tmp_path.iterdir()] == ["cards.pdf"]


def test_what_cannot_be_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    """Papers that are too small, fewer than three cards, more than there are markers for."""
    with pytest.raises(PaperError):
        write_targets("a5", tmp_path / "cards.pdf")
    for count in (2, 0, -1, 51):
        with pytest.raises(BlocksheetError, match="cards"):
            write_targets("a4", tmp_path / "cards.pdf", count)
    assert list(tmp_path.iterdir()) == []


def test_prove_says_what_the_pages_are(tmp_path: Path) -> None:
    """They have no pattern to be measured against."""
    pages = write_targets("a4", tmp_path / "cards.pdf")
    with pytest.raises(NotProvenError, match="target cards, which carry no pattern"):
        prove(pages)
