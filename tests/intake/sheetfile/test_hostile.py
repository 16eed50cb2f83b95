"""A file from elsewhere that is not as it should be: one sentence, and nothing is written."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.cli.owncommand import blocksheet
from tests.intake.sheetfile.hostile import Made, all_files
from tests.intake.sheetfile.pdfs import GOOD, Sheet
from tests.intake.sheetfile.zips import Bundle
from tiler.intake.sheetfile import apart
from tiler.intake.sheetfile.reading import read_held
from tiler.pattern.errors import BlocksheetError

FILES = list(all_files())


@pytest.fixture(autouse=True)
def same_process(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read in this process, which is quicker; that it is read apart has tests of its own."""
    monkeypatch.setattr(apart, "read_apart", read_held)


def opened(content: bytes, home: Path) -> tuple[int, str]:
    """The command's exit code and what it says on standard error."""
    (home / "given").write_bytes(content)
    done = blocksheet("open", "given", "taken", cwd=home)
    return done.returncode, done.stderr


def test_there_are_many() -> None:
    assert len(FILES) > 100
    assert len({key for key, _, _ in FILES}) == len(FILES)


@pytest.mark.parametrize(("made", "words"), [f[1:] for f in FILES], ids=[f[0] for f in FILES])
def test_it_is_refused_in_one_line_and_nothing_is_written(
    made: Made,
    words: str,
    tmp_path: Path,
) -> None:
    home = tmp_path / "home"
    home.mkdir()
    code, told = opened(made(), home)
    assert code == 2
    assert told.startswith(("blocksheet: given: ", "blocksheet: given, "))
    assert words in told
    assert told.count("\n") == 1
    assert told[:-1].isprintable()
    assert len(told) < 500
    assert "Traceback" not in told
    assert sorted(path.relative_to(tmp_path) for path in tmp_path.rglob("*")) == [
        Path("home"),
        Path("home/given"),
    ]


@pytest.mark.parametrize(
    "content",
    [
        Sheet().written(),
        Sheet(extra=[("holiday.jpg", b"x", "Supplement"), ("../x", b"", "Data")]).written(),
        Bundle().written(),
        Bundle(top="seed-pouch/").written(),
    ],
    ids=["PDF", "PDF with others' files", "bundle", "bundle packed again"],
)
def test_the_same_files_unspoilt_are_opened(
    content: bytes,
    tmp_path: Path,
) -> None:
    """So that each refusal above is for what was spoilt."""
    assert opened(content, tmp_path) == (0, "")
    found = {path.name: path.read_bytes() for path in (tmp_path / "taken").iterdir()}
    assert found == GOOD
    assert sorted(path.name for path in tmp_path.iterdir()) == ["given", "taken"]


@pytest.mark.parametrize("content", [Sheet().written(), Bundle().written()], ids=["PDF", "bundle"])
def test_whatever_is_changed_in_a_file_its_pattern_comes_whole_or_not_at_all(
    content: bytes, tmp_path: Path
) -> None:
    file = tmp_path / "given"
    dice = random.Random(41)
    refused = 0
    for _ in range(150):
        spoilt = bytearray(content)
        for _ in range(dice.choice((1, 1, 4))):
            spoilt[dice.randrange(len(spoilt))] = dice.randrange(256)
        file.write_bytes(bytes(spoilt))
        try:
            held = read_held(file)
        except BlocksheetError:
            refused += 1
        else:
            assert {source.name: source.content for source in held.sources} == GOOD
    assert 50 < refused < 150


def test_noise_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "given"
    dice = random.Random(43)
    for head in (b"%PDF-1.7\n", b"PK\3\4", b"PK\5\6", b""):
        for _ in range(25):
            file.write_bytes(head + dice.randbytes(2000) + b"\n%%EOF")
            with pytest.raises(BlocksheetError):
                read_held(file)
