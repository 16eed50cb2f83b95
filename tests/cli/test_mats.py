"""``blocksheet mat``: from a new mat to one that can be published on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from tests.cli.owncommand import Command, command

#: A picture 1200 mm wide, tilted a little; made with a drawing of it on paper and a ruler's sums.
LENGTHS = {
    "lower": "1228 mm",
    "right": "690.4 mm",
    "upper": "1181 mm",
    "left": "690.4 mm",
    "rising": "1387.7 mm",
    "falling": "1388.6 mm",
}


@pytest.fixture
def mat(tmp_path: Path) -> Command:
    return command("mat", tmp_path)


def _options(**changed: str) -> list[str]:
    return [w for name, length in {**LENGTHS, **changed}.items() for w in (f"--{name}", length)]


def _new(mat: Command) -> str:
    return mat("new", "floor", "--pixels", "1920x1080", "--size", "1200 mm x 700 mm")


def test_a_mat_is_kept_listed_and_forgotten(mat: Command) -> None:
    assert "No mat is kept yet" in mat("list")
    assert "Next: blocksheet mat grid floor" in _new(mat)
    assert "floor: 1920 x 1080 pixels, 1200 mm x 700 mm, not measured yet" in mat("list")
    assert "Forgotten: floor" in mat("forget", "FLOOR")
    assert "no mat called 'floor' is kept" in mat("forget", "floor", code=2)


def test_the_grid_has_the_projector_s_own_pixels(mat: Command, tmp_path: Path) -> None:
    _new(mat)
    told = mat("grid", "floor", "--out", "out")
    assert "Next: blocksheet mat measure floor" in told
    assert "do not look into the beam" in told
    with Image.open(tmp_path / "out" / "grid-floor.png") as picture:
        assert picture.size == (1920, 1080)
    page = PdfReader(tmp_path / "out" / "grid-floor.pdf").pages[0]
    assert float(page.mediabox.width / page.mediabox.height) == pytest.approx(1920 / 1080, rel=1e-4)
    assert "rising diagonal" in page.extract_text()


def test_six_lengths_tell_where_the_picture_lies(mat: Command, tmp_path: Path) -> None:
    _new(mat)
    told = mat("measure", "Floor", *_options())
    assert "fit together within 0" in told
    assert "Usable: 1200 mm x 700 mm" in told
    for words in ("One pixel: lower left 0.72 mm", "Thinnest line", "worst corner"):
        assert words in told
    assert told.endswith("Next: blocksheet publish PATTERN --on mat:floor")
    assert mat("list").endswith("measured Next: blocksheet publish PATTERN --on mat:floor")
    kept = json.loads((tmp_path / "own" / "mats.json").read_text())["mats"]["floor"]
    assert len(kept["corners"]) == 4


def test_it_asks_for_what_is_missing_and_a_unit_is_said_once(mat: Command) -> None:
    _new(mat)
    said = "what\n122.8 cm\n69.04\n118.1\n69.04\n138.8\n138.8\n\n\n"
    told = mat("measure", "floor", said=said)
    assert "'what' is not a length" in told
    assert "Usable: 1200 mm x 700 mm" in told


def test_a_mistyped_diagonal_is_named_and_nothing_is_kept(mat: Command) -> None:
    """Off by 20 mm."""
    _new(mat)
    told = mat("measure", "floor", *_options(rising="1407.7 mm"), code=2)
    assert "the rising diagonal is wrong: you have 1408 mm" in told
    assert "not measured yet" in mat("list")
    said = "1228mm\n690.4\n1181\n690.4\n1407.7\n1388.6\n\n\n"
    asked = mat("measure", "floor", said=said, code=2)
    assert "You said: blocksheet mat measure floor --lower 1228mm" in asked


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("new", "?", "--pixels", "1920x1080", "--size", "1 m x 70 cm"), "cannot be a name"),
        (("new", "b", "--pixels", "1080", "--size", "1 m x 70 cm"), "are no pixels"),
        (("new", "b", "--pixels", "100x100", "--size", "1 m x 70 cm"), "at least 640 x 360"),
        (("new", "b", "--pixels", "1080x1920", "--size", "1 m x 70 cm"), "1920x1080"),
        (("new", "b", "--pixels", "1920x1080", "--size", "big"), "is no size"),
        (("new", "b", "--pixels", "1920x1080", "--size", "12 x 7 mm"), "cannot be used"),
        (("new", "FLOOR", "--pixels", "1920x1080", "--size", "48 x 28 in"), "already"),
        (("grid", "shed"), "no mat called 'shed' is kept"),
        (("measure", "floor", "--noise", "0 mm", *_options()), "how well a length is measured"),
        (("measure", "floor", *_options(left="-690 mm")), "left side cannot be"),
    ],
)
def test_bad_input_gives_one_message_with_what_to_do(
    mat: Command, words: tuple[str, ...], said: str
) -> None:
    _new(mat)
    told = mat(*words, code=2)
    assert said in told


def test_what_is_kept_and_was_damaged_is_told_and_left_alone(mat: Command, tmp_path: Path) -> None:
    _new(mat)
    file = tmp_path / "own" / "mats.json"
    for damage in (
        '{"mats": {"floor": {"width_px": 1920}}}',
        file.read_text().replace("1080", "-3"),
        file.read_text().replace("null", "[[0,0],[1,0],[2,0],[3,0]]"),
        file.read_text().replace("null", '"x"'),
    ):
        file.write_text(damage)
        assert "is damaged" in mat("list", code=2)
        assert file.read_text() == damage
    assert "Forgotten" in mat("forget", "floor")
