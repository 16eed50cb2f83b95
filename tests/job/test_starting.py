"""A new pattern folder: its pieces are those of the drawings, whatever they are called."""

from __future__ import annotations

import os
import re
from dataclasses import replace
from pathlib import Path

import pytest

from tests.demos import DEMO_PIECES
from tiler.intake.folder import read_pattern
from tiler.job.cutanswers import cuts_said
from tiler.job.reading import read
from tiler.job.showing import export
from tiler.job.starting import Answers, start, title_for
from tiler.job.takingup import take_up
from tiler.pattern.errors import BlocksheetError, StoppedError
from tiler.pattern.model import Pattern, Piece, Role

SMOCK = DEMO_PIECES / "smock"
DRAWINGS = sorted(DEMO_PIECES.glob("*/*.svg"))

TWO = """<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="120mm" viewBox="0 0 300 120"
 xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape">
<g id="layer1" inkscape:label="left cuff"><path d="M 10,10 V 110 H 90 V 10 Z"/>
<line class="grain" x1="50" y1="20" x2="50" y2="90"/></g>
<g id="layer2" inkscape:label="right cuff"><path d="M 110,10 V 110 H 170 V 10 Z"/></g>
<g id="layer3" inkscape:label="frame"><path d="M 0,0 H 300"/></g>
</svg>"""


def begun(folder: Path, *sources: Path, **answers: object) -> Pattern:
    """A folder that was started, read."""
    start(take_up(sources), folder, Answers(**answers))  # type: ignore[arg-type]
    return read_pattern(folder)


def alone(drawing: Path) -> Piece:
    """The piece of a drawing that nobody has said anything of."""
    (piece,) = read_pattern(drawing).pieces
    return piece


def uncommented(folder: Path) -> None:
    """Take the mark away from every example."""
    file = folder / "pattern.toml"
    file.write_text(re.sub(r"(?m)^#(?=\S)", "", file.read_text("utf-8")), "utf-8")


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_the_folder_reads_as_the_drawing_alone_with_the_drawing_byte_for_byte(
    tmp_path: Path, drawing: Path
) -> None:
    pattern = begun(tmp_path / "new", drawing)
    expected = replace(alone(drawing), name=pattern.pieces[0].name)
    assert pattern.pieces == (expected,)
    assert (tmp_path / "new" / drawing.name).read_bytes() == drawing.read_bytes()


@pytest.mark.parametrize("demo", ["apron", "hat", "smock", "trousers"])
def test_with_all_examples_in_use_every_demo_can_be_drafted(tmp_path: Path, demo: str) -> None:
    begun(tmp_path / "new", *sorted((DEMO_PIECES / demo).glob("*.svg")))
    uncommented(tmp_path / "new")
    pattern = read(tmp_path / "new")
    assert pattern.maker
    assert pattern.handover.sewing
    assert pattern.handover.cloths[0].width == 1500
    assert pattern.seams


def test_a_folder_of_drawings_is_taken_in_the_order_of_their_names(tmp_path: Path) -> None:
    drawings = tmp_path / "drawn"
    drawings.mkdir()
    for name in ("b.svg", "a.SVG", ".hidden.svg", "notes.txt"):
        (drawings / name).write_bytes((SMOCK / "front.svg").read_bytes())
    pattern = begun(tmp_path / "new", drawings, drawings / "b.svg")
    assert [piece.name for piece in pattern.pieces] == ["A", "B"]


def test_names_that_a_file_system_may_take_for_one_are_told_apart(tmp_path: Path) -> None:
    files = []
    for folder, name in (("x", "Front.svg"), ("y", "front.SVG"), ("z", "früh_front-2.svg")):
        (tmp_path / folder).mkdir()
        files.append(tmp_path / folder / name)
        files[-1].write_bytes((SMOCK / "front.svg").read_bytes())
    pattern = begun(tmp_path / "new", *files)
    assert [piece.name for piece in pattern.pieces] == ["Front", "Front 2", "Früh front 2"]
    names = sorted(file.name for file in (tmp_path / "new").iterdir())
    assert names == ["front.svg", "front_2.svg", "fruh_front_2.svg", "pattern.toml"]


@pytest.mark.parametrize("name", ["con.svg", "..svg", "a\nb.svg", '"quoted" # sign.svg', "服.svg"])
def test_any_name_of_a_file_gives_a_safe_one(tmp_path: Path, name: str) -> None:
    (tmp_path / "in").mkdir()
    drawing = tmp_path / "in" / name
    drawing.write_bytes((SMOCK / "front.svg").read_bytes())
    pattern = begun(tmp_path / "new", drawing)
    (own,) = {file.name for file in (tmp_path / "new").iterdir()} - {"pattern.toml"}
    assert re.fullmatch(r"[a-z0-9_]+\.svg", own)
    # Device names that Windows keeps for itself (Microsoft, "Naming Files, Paths, and Namespaces").
    assert own != "con.svg"
    uncommented(tmp_path / "new")
    assert read_pattern(tmp_path / "new").pieces[0].name == pattern.pieces[0].name


def test_each_layer_with_an_outline_is_a_piece_of_a_drawing_that_holds_several(
    tmp_path: Path,
) -> None:
    drawing = tmp_path / "cuffs.svg"
    drawing.write_text(TWO)
    pattern = begun(tmp_path / "new", drawing, traced=Role.CUT)
    assert [piece.name for piece in pattern.pieces] == ["Left cuff", "Right cuff"]
    # The sides were typed into the drawing.
    assert [piece.bounds.width for piece in pattern.pieces] == pytest.approx([80, 60])
    assert {piece.drawing for piece in pattern.pieces} == {"cuffs.svg"}
    assert {piece.outlines[0].role for piece in pattern.pieces} == {Role.CUT}
    text = (tmp_path / "new" / "pattern.toml").read_text()
    assert 'layer = "left cuff"' in text
    assert '\ntraced = "cut"' in text


def test_a_cut_line_and_an_unsaid_one_get_words_of_their_own(tmp_path: Path) -> None:
    plain = (SMOCK / "pocket.svg").read_text()
    said, unsaid = tmp_path / "said.svg", tmp_path / "unsaid.svg"
    said.write_text(plain.replace('class="stitch"', 'class="cut"'))
    unsaid.write_text(plain.replace('class="stitch"', ""))
    for folder, traced in (("open", None), ("answered", Role.STITCH)):
        pattern = begun(tmp_path / folder, said, unsaid, traced=traced)
        assert [piece.outlines[0].role for piece in pattern.pieces] == [Role.CUT, Role.STITCH]
        uncommented(tmp_path / folder)
        again = read_pattern(tmp_path / folder)
        assert [piece.outlines[0].role for piece in again.pieces] == [Role.CUT, Role.STITCH]


def test_a_dxf_file_brings_what_it_says(tmp_path: Path) -> None:
    export(DEMO_PIECES / "hat", tmp_path / "pieces.dxf")
    before = read_pattern(tmp_path / "pieces.dxf")
    taken = take_up([tmp_path / "pieces.dxf"])
    assert not taken.uncut
    pattern = begun(tmp_path / "new", tmp_path / "pieces.dxf")
    assert (pattern.title, pattern.maker, pattern.cloths, pattern.styles) == (
        before.title,
        before.maker,
        before.cloths,
        before.styles,
    )
    for one, other in zip(before.pieces, pattern.pieces, strict=True):
        assert (one.name, one.cuts, one.allowance) == (other.name, other.cuts, other.allowance)
        lengths = [[edge.path.length for edge in piece.outlines[0].edges] for piece in (one, other)]
        assert lengths[0] == pytest.approx(lengths[1], abs=0.01)
    uncommented(tmp_path / "new")
    read_pattern(tmp_path / "new")


def test_a_cut_said_for_all_holds_where_none_is_said_by_name() -> None:
    taken = take_up([SMOCK / "front.svg", SMOCK / "sleeve.svg", SMOCK / "pocket.svg"])
    cuts = cuts_said(["sleeve=2 pair", "1 Copies", "front = 1 fold"], taken)
    found = {name: (each.cut.count, str(each.cut.lay)) for name, each in cuts.items()}
    assert found == {"Front": (1, "fold"), "Sleeve": (2, "pair"), "Pocket": (1, "copies")}


def test_the_title_comes_from_the_folder() -> None:
    assert title_for(Path("patterns/potting-smock_2")) == "Potting smock 2"


def test_an_empty_folder_is_filled(tmp_path: Path) -> None:
    (tmp_path / "new").mkdir()
    assert begun(tmp_path / "new", SMOCK / "front.svg").pieces


def test_a_drawing_that_is_no_piece_stops_all(tmp_path: Path) -> None:
    drawing = tmp_path / "open.svg"
    drawing.write_text(TWO.replace(" Z", "").replace("V 10", ""))
    with pytest.raises(BlocksheetError, match="outline is open"):
        take_up([SMOCK / "front.svg", drawing])


def test_stopped_or_full_it_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(_file: int) -> None:
        raise KeyboardInterrupt

    def full(_file: int) -> None:
        raise OSError(28, "No space left on device")

    taken = take_up([SMOCK / "front.svg"])
    for what, error in ((stop, StoppedError), (full, BlocksheetError)):
        monkeypatch.setattr(os, "fsync", what)
        with pytest.raises(error):
            start(taken, tmp_path / "patterns" / "smock" / "new", Answers())
        assert not list(tmp_path.iterdir())
