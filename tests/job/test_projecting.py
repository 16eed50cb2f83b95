"""A set for a projector: its files are there whole or not at all, and nobody's work is lost."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from tests.demos import drafted_demo
from tiler.job.folders import LIST, refuse_foreign, replacing_folder
from tiler.job.projecting import THICKEST, Projected, Showing, project
from tiler.layout.mats.mat import Mat
from tiler.pattern.affine import Point
from tiler.pattern.errors import (
    BlocksheetError,
    FileError,
    LengthError,
    PatternError,
    ProjectionError,
)
from tiler.sheets.screen import PX_MM

CORNERS = (Point(-40, -30), Point(780, -60), Point(740, 560), Point(-20, 520))
MAT = Mat("Kitchen table", 1280, 720, 700, 450, CORNERS)


def published(folder: Path, showing: Showing | None = None, demo: str = "hat") -> Projected:
    return project(drafted_demo(demo), MAT, folder, showing)


@cache
def _names(showing: Showing, demo: str = "hat") -> tuple[tuple[str, ...], ...]:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        done = published(Path(folder), showing, demo)
    return tuple(tuple(each.piece.name for each in shown) for _, shown in done.windows)


def test_pictures_have_the_projectors_pixels_and_the_pdf_the_same_pages(tmp_path: Path) -> None:
    done = published(tmp_path)
    pictures = sorted(done.folder.glob("*.png"))
    assert pictures[0].name == "01-start.png"
    assert len(pictures) == len(done.windows) + 1
    for picture in pictures:
        with Image.open(picture) as image:
            assert (image.size, image.mode) == ((1280, 720), "L")
    pages = PdfReader(done.pdf).pages
    assert len(pages) == len(pictures)
    for page in pages:
        size = [float(side) / 72 * 25.4 / PX_MM for side in page.mediabox[2:]]
        assert size == pytest.approx([1280, 720], abs=0.01)


def test_the_same_set_is_written_to_the_byte(tmp_path: Path) -> None:
    one, other = published(tmp_path / "a"), published(tmp_path / "b")
    assert one.pdf.read_bytes() == other.pdf.read_bytes()
    for file in sorted(one.folder.iterdir()):
        assert file.read_bytes() == (other.folder / file.name).read_bytes()


def test_a_second_set_takes_the_place_of_the_first(tmp_path: Path) -> None:
    first = published(tmp_path, Showing(one_by_one=True))
    many = {file.name for file in first.folder.iterdir()}
    second = published(tmp_path)
    assert first.folder == second.folder
    assert {file.name for file in second.folder.iterdir()} != many
    left = {path.name for path in tmp_path.iterdir()}
    assert left == {second.folder.name, second.pdf.name}


def test_a_folder_with_a_file_of_somebody_else_stays_as_it_is(tmp_path: Path) -> None:
    done = published(tmp_path)
    (done.folder / "holiday.png").write_bytes(b"mine")
    before = {file.name: file.read_bytes() for file in done.folder.iterdir()}
    with pytest.raises(FileError, match=r"holiday\.png"):
        published(tmp_path, Showing(one_by_one=True))
    assert {file.name: file.read_bytes() for file in done.folder.iterdir()} == before


def test_a_picture_that_was_drawn_on_is_not_lost(tmp_path: Path) -> None:
    done = published(tmp_path)
    drawn_on = done.folder / "01-start.png"
    drawn_on.write_bytes(drawn_on.read_bytes() + b"notes")
    with pytest.raises(FileError, match=r"01-start\.png"):
        published(tmp_path)


def test_a_set_that_does_not_prove_is_not_handed_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pictures are bent for a mat that is half a millimetre off: nothing is left behind."""
    from tiler.output.projected import Screen

    off = replace(MAT, corners=(Point(-40.5, -30), *CORNERS[1:])).to_pixels()
    monkeypatch.setattr(
        "tiler.output.projected.Screen",
        lambda width, height, _, dark: Screen(width, height, off, dark),
    )
    with pytest.raises(BlocksheetError, match="off"):
        published(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_stop_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    done = published(tmp_path)
    before = {file.name: file.read_bytes() for file in done.folder.iterdir()}
    monkeypatch.setattr(Path, "rename", stop)
    with pytest.raises(BlocksheetError, match="stopped"):
        published(tmp_path, Showing(one_by_one=True))
    assert {file.name: file.read_bytes() for file in done.folder.iterdir()} == before
    assert {path.name for path in tmp_path.iterdir()} == {done.folder.name, done.pdf.name}


@pytest.mark.parametrize("fails", [0, 1])
def test_the_old_folder_comes_back_when_the_new_one_cannot_take_its_place(
    fails: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "set"
    with replacing_folder(folder) as draft:
        (draft / "a.png").write_bytes(b"old")
    real: Callable[[Path, Path], Path] = Path.rename
    calls: list[Path] = []

    def rename(self: Path, target: Path) -> Path:
        calls.append(self)
        if len(calls) == fails + 1:
            raise OSError("no room")
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(FileError), replacing_folder(folder) as draft:
        (draft / "b.png").write_bytes(b"new")
    assert {file.name for file in folder.iterdir()} == {"a.png", LIST}
    assert [path.name for path in tmp_path.iterdir()] == ["set"]
    refuse_foreign(folder)


def test_an_unmeasured_mat_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(ProjectionError, match="grid"):
        project(drafted_demo("hat"), replace(MAT, corners=None), tmp_path)


def test_a_mat_that_the_picture_hardly_covers_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProjectionError, match="covers no more than"):
        project(drafted_demo("hat"), replace(MAT, height=120.0), tmp_path)


def test_an_unknown_piece_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    with pytest.raises(PatternError, match="no piece"):
        published(tmp_path / "out", Showing(pieces=("Cape",)))
    assert not (tmp_path / "out").exists()


def test_only_the_pieces_that_were_asked_for_are_shown() -> None:
    assert _names(Showing(pieces=("Brim",))) == (("Brim",),)
    every = {name for window in _names(Showing()) for name in window}
    assert every == {piece.name for piece in drafted_demo("hat").pieces}


def test_halves_are_shown_folded_or_opened() -> None:
    """An opened piece is twice as wide and has no fold; the pattern's own wish is the default."""
    from tiler.drafting.paper import has_fold
    from tiler.job.projecting import _chosen

    pattern = drafted_demo("apron")
    half = {piece.name for piece in pattern.pieces if has_fold(piece)}
    folded, _ = _chosen(pattern, Showing(halves="folded"))
    opened, _ = _chosen(pattern, Showing(halves="opened"))
    assert half
    assert {piece.name for piece in folded.pieces if has_fold(piece)} == half
    assert not any(has_fold(piece) for piece in opened.pieces)
    for name in half:
        (one,) = (p for p in folded.pieces if p.name == name)
        (whole,) = (p for p in opened.pieces if p.name == name)
        assert whole.outlines[0].area == pytest.approx(2 * one.outlines[0].area, rel=1e-6)


def test_a_thin_line_is_drawn_as_thick_as_is_seen_and_said_so(tmp_path: Path) -> None:
    done = published(tmp_path, Showing(line=0.3))
    assert done.line > 1.0
    assert [finding.code for finding in done.findings] == ["thicker"]


@pytest.mark.parametrize("line", [0.0, -1.0, 4.1, float("inf"), float("nan")])
def test_a_line_that_cannot_be_shown_is_refused(line: float, tmp_path: Path) -> None:
    with pytest.raises(LengthError, match="line"):
        published(tmp_path / "out", Showing(line=line))
    assert not (tmp_path / "out").exists()


def test_the_thickest_line_proves(tmp_path: Path) -> None:
    assert published(tmp_path, Showing(line=THICKEST), "apron").line == THICKEST


def test_lines_that_run_together_under_a_coarse_projector_are_no_fault(tmp_path: Path) -> None:
    """On a mat of 1.6 m, 800 pixels make lines of 5 mm: marks fill up, dashes stand far apart."""
    corners = tuple(Point(x * 2.4, y * 2.4) for x, y in CORNERS)
    coarse = Mat("floor", 800, 600, 1600.0, 1000.0, corners)
    done = project(drafted_demo("trousers"), coarse, tmp_path, Showing(halves="opened"))
    assert done.line > 4.0
    assert done.outcome.places > 500


def test_the_expected_error_is_that_of_the_mat(tmp_path: Path) -> None:
    from tiler.layout.mats.accuracy import accuracy_of

    assert published(tmp_path).error == accuracy_of(MAT).error
