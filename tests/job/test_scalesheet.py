"""Writing the calibration page: proven or not there."""

from __future__ import annotations

from pathlib import Path

import pytest

import tiler.sheets.scalesheet as drawing
from tiler.job.scalesheet import write_scale_sheet
from tiler.pattern.affine import Affine
from tiler.pattern.errors import FileError, NotProvenError, PaperError
from tiler.proof import prove
from tiler.sheets.drawing import Group, Item
from tiler.sheets.longbars import draw_long_bars
from tiler.sheets.scaleframe import ScaleFrame


def test_it_writes_the_page_and_says_where(tmp_path: Path) -> None:
    """Into a folder that is not there yet, too."""
    target = tmp_path / "shed" / "calibration.pdf"
    assert write_scale_sheet("A4", target) == target
    assert target.read_bytes().startswith(b"%PDF-")
    assert [file.name for file in target.parent.iterdir()] == ["calibration.pdf"]


def test_a_page_with_a_wrong_bar_is_never_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tenth of a millimetre is enough; the file that was there stays."""

    def wrong(frame: ScaleFrame) -> list[Item]:
        across, *others = draw_long_bars(frame)
        assert isinstance(across, Group)
        longer = Affine.scale(1 + 0.1 / frame.bars[0], 1)
        return [Group(across.items, longer, None, True, across.facts), *others]

    monkeypatch.setattr(drawing, "draw_long_bars", wrong)
    target = tmp_path / "calibration.pdf"
    target.write_bytes(b"what was there before")
    with pytest.raises(NotProvenError, match=r"bar of 190 mm across is off by 0\.10 mm"):
        write_scale_sheet("a4", target)
    assert target.read_bytes() == b"what was there before"
    assert [file.name for file in tmp_path.iterdir()] == ["calibration.pdf"]


def test_unknown_and_small_papers_are_refused_before_anything_is_written(tmp_path: Path) -> None:
    """With what to do instead."""
    for paper in ("a6", "a44"):
        with pytest.raises(PaperError):
            write_scale_sheet(paper, tmp_path / "calibration.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """Not with a traceback."""
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError, match="cannot be written"):
        write_scale_sheet("a4", tmp_path / "file" / "calibration.pdf")


def test_prove_says_what_the_page_is(tmp_path: Path) -> None:
    """It has no pattern to be measured against."""
    page = write_scale_sheet("a4", tmp_path / "calibration.pdf")
    with pytest.raises(NotProvenError, match="calibration page, which carries no pattern"):
        prove(page)
