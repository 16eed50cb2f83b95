"""A piece measured with a ruler goes the whole way, and its table can be corrected on the way."""

import zipfile
from pathlib import Path

import pytest

from tests.cli.owncommand import command
from tiler.intake.folder import read_pattern

POUCH = """x (cm);y (cm);kind;name
0;0;corner;
12;0;corner;lower right
12;9,5;corner;
9;12,5;curve;
6;13,5;curve;tip of the flap
3;12,5;curve;
0;9,5;corner;
6;2;drill;
6;0;notch;
3;2;grain;
3;9;grain;
"""


@pytest.fixture
def pouch(tmp_path: Path) -> Path:
    (tmp_path / "seed_pouch.csv").write_text(POUCH)
    words = ("--traced", "stitch", "--allowance", "10mm", "--cut", "2 copies", "--ask-nothing")
    told = command("new", tmp_path)("pouch", "--from", "seed_pouch.csv", *words)
    assert "pouch/seed_pouch.csv" in told
    assert (tmp_path / "pouch" / "seed_pouch.csv").read_text() == POUCH
    return tmp_path / "pouch"


def test_a_table_is_checked_published_proven_and_opened(pouch: Path) -> None:
    home = pouch.parent
    command("check", home)("pouch")
    told = command("publish", home)("pouch", "--effort", "quick")
    assert "Proven" in told
    (sheet,) = (home / "sheets").iterdir()
    assert "Proven" in command("prove", home)(f"sheets/{sheet.name}")
    command("open", home)(f"sheets/{sheet.name}", "friend")
    assert (home / "friend" / "seed_pouch.csv").read_text() == POUCH
    assert read_pattern(home / "friend") == read_pattern(pouch)


def test_a_corrected_number_changes_the_piece(pouch: Path) -> None:
    table = pouch / "seed_pouch.csv"
    before = read_pattern(pouch).pieces[0].bounds
    table.write_text(POUCH.replace("6;13,5;curve", "6;14,5;curve"))
    after = read_pattern(pouch).pieces[0].bounds
    assert after.top - before.top == pytest.approx(10, abs=0.5)


def test_a_table_is_exported_and_given(pouch: Path) -> None:
    home = pouch.parent
    command("export", home)("pouch", "again")
    again, first = read_pattern(home / "again").pieces[0], read_pattern(pouch).pieces[0]
    assert again.outlines[0].area == pytest.approx(first.outlines[0].area, abs=0.5)
    command("export", home)("pouch", "pouch.dxf")
    command("give", home)("pouch", "--effort", "quick", "--on", "a4")
    (bundle,) = home.glob("*.zip")
    with zipfile.ZipFile(bundle) as archive:
        assert archive.read("pattern/seed_pouch.csv").decode() == POUCH


def test_a_table_alone_is_a_pattern(tmp_path: Path) -> None:
    (tmp_path / "seed_pouch.csv").write_text(POUCH)
    assert "Proven" in command("publish", tmp_path)("seed_pouch.csv", "--effort", "quick")
    (sheet,) = (tmp_path / "sheets").iterdir()
    command("open", tmp_path)(f"sheets/{sheet.name}", "friend")
    assert (tmp_path / "friend" / "seed_pouch.csv").is_file()


def test_points_in_the_pattern_file_are_published_too(tmp_path: Path) -> None:
    rows = [("0 cm", "0 cm", "corner"), ("12 cm", "0 cm", "corner"), ("6 cm", "9 cm", "curve")]
    points = ", ".join(f'{{ x = "{x}", y = "{y}", kind = "{kind}" }}' for x, y, kind in rows)
    words = f'title = "Flap"\n[[piece]]\nname = "Flap"\npoints = [{points}]\n'
    (tmp_path / "flap").mkdir()
    (tmp_path / "flap" / "pattern.toml").write_text(words)
    assert "Proven" in command("publish", tmp_path)("flap", "--effort", "quick")
    command("open", tmp_path)("sheets/flap-a4.pdf", "friend")
    command("export", tmp_path)("flap", "again")
    first, again = (read_pattern(tmp_path / name).pieces[0] for name in ("flap", "again"))
    assert again.outlines[0].area == pytest.approx(first.outlines[0].area, abs=0.5)
