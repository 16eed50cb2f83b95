"""``blocksheet cloth``: what it says, what it writes, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

import tiler.layout.cloth.lay as engine
from tests.cli.owncommand import blocksheet
from tests.job.test_cloth import Table
from tiler.pattern.errors import ClothError

HAT = ("cloth", "demo:hat", "--cloth", "interfacing", "--effort", "quick")


@pytest.fixture
def table(monkeypatch: pytest.MonkeyPatch) -> Table:
    """Lays one piece after the other, 5 m in all, instead of searching."""
    return Table(monkeypatch)


def said(text: str) -> str:
    return " ".join(text.split())


def test_a_real_search_ends_in_a_picture_and_a_length_to_buy(tmp_path: Path) -> None:
    """Two brims of 90 cm interfacing: the whole way, with nothing put in the place of anything."""
    done = blocksheet(*HAT, "--width", "90cm", "--single", "--as", "svg", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    file = tmp_path / "sheets" / "panelled-sun-hat-lay-interfacing-90cm-single.svg"
    assert file.read_text().startswith("<?xml")
    assert f"Plan: {file.relative_to(tmp_path)}" in done.stdout
    last = done.stdout.strip().splitlines()[-1]
    assert last.startswith("Next: buy ")
    assert "of interfacing, 90cm wide" in last


def test_eight_widths_are_compared(table: Table, tmp_path: Path) -> None:
    """Each with what is used, how well, and what to ask for; worked by hand from 5 m.

    5 m is 5.468 yd, so 5 1/2 yd; with the 4 % that the apron's maker gives it was 5.208 m before
    washing: 5.3 m, and 5.696 yd, so 5 3/4 yd.
    """
    done = blocksheet("cloth", "demo:apron", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    rows = [line for line in done.stdout.splitlines() if "5.3 m or 5 3/4 yd" in line]
    assert len(rows) == 8
    for width in ("90 cm (35 1/2 in)", "91.4 cm (36 in)", "140 cm (55 in)", "152.4 cm (60 in)"):
        (found,) = (line for line in rows if f" {width} " in line)
        assert "500 cm (196 3/4 in)" in found
        assert "50 %" in found
        # Single would take 6 m: 6.25 m before washing.
        assert "(single: 6.3 m)" in found
    (drawn,) = (line for line in rows if line.startswith("  * "))
    assert "140 cm" in drawn


def test_the_columns_of_wide_cloth_stay_apart(table: Table, tmp_path: Path) -> None:
    done = blocksheet("cloth", "demo:apron", "--width", "10m", cwd=tmp_path)
    (row,) = (line for line in done.stdout.splitlines() if line.startswith("  * "))
    (head,) = (line for line in done.stdout.splitlines() if line.startswith("    width"))
    assert "1000 cm (393 3/4 in) " in row
    assert row.index("folded") == head.index("lies")


def test_a_width_that_is_too_narrow_says_for_which_piece(
    tmp_path: Path, table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    def narrow(needs, cloth, *others, **said):  # type: ignore[no-untyped-def]
        if cloth.width < 1000:
            raise ClothError("it is 720 mm wide", where="cloth main, body.svg, piece Body")
        return table.lay(needs, cloth, *others, **said)

    monkeypatch.setattr(engine, "lay_cloth", narrow)
    done = blocksheet("cloth", "demo:apron", cwd=tmp_path)
    rows = [line for line in done.stdout.splitlines() if "no: piece Body: it is 720 mm" in line]
    assert len(rows) == 2
    assert "90 cm" in rows[0]


def test_what_nobody_has_said_is_told_with_the_option_that_says_it(
    table: Table, tmp_path: Path
) -> None:
    words = said(blocksheet("cloth", "demo:apron", "--width", "150cm", cwd=tmp_path).stdout)
    assert "no check to match" in words
    assert "--repeat, --selvedge" in words
    assert "pieces may lie either way up" not in words
    options = ("--repeat", "none", "--selvedge", "15mm")
    words = said(blocksheet("cloth", "demo:apron", *options, cwd=tmp_path).stdout)
    assert "Supposed" not in words


def test_every_word_of_the_command_line_reaches_the_cloth(table: Table, tmp_path: Path) -> None:
    options = "--cloth main --width 60in --single --nap --tilt 2deg --gap 5mm --selvedge 1/2in"
    both = ("--repeat", "40mm x 30mm", "--shrinkage", "5 % x 2.5 %")
    done = blocksheet("cloth", "demo:hat", *options.split(), *both, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    ((cloth, effort),) = table.asked
    assert (cloth.name, cloth.width, cloth.spread.value) == ("main", 60 * 25.4, "single")
    assert (cloth.nap, cloth.tilt, cloth.gap, cloth.selvedge) == (True, 2.0, 5.0, 12.7)
    assert cloth.repeat == (40.0, 30.0)
    assert cloth.shrinkage == (0.05, 0.025)
    assert effort == "normal"


def test_scripts_get_figures(table: Table, tmp_path: Path) -> None:
    done = blocksheet("cloth", "demo:apron", "--width", "150cm", "--json", cwd=tmp_path)
    (cloth,) = json.loads(done.stdout)["cloths"]
    assert cloth["cloth"] == "main"
    (plan,) = cloth["plans"]
    assert Path(tmp_path / plan["file"]).is_file()
    assert plan["length"] == 5000.0
    assert plan["buy_metres"] == 5.3
    assert plan["buy_yards"] == "23/4"
    assert [width["width"] for width in cloth["widths"]] == [1500.0]


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--cloth", "velvet"), 'there is no cloth "velvet"'),
        (("--width", "150"), "no unit"),
        (("--width", "1cm"), "between 50 and 20000 mm"),
        (("--selvedge", "-1cm"), "less than nothing"),
        (("--selvedge", "90cm", "--width", "150cm"), "leaves nothing of the cloth"),
        (("--shrinkage", "5"), 'Write "5 %"'),
        (("--shrinkage", "90 %"), "between 0 and 50 %"),
        (("--repeat", "4 rows"), 'Write "40mm"'),
        (("--tilt", "a little"), 'Write "2 deg"'),
        (("--tilt", "60 deg"), "between 0 and 45"),
        (("--style", "gown"), 'no style "gown"'),
        (("--width", "12cm"), "wide across its grain"),
    ],
)
def test_what_cannot_be_is_one_message_and_no_file(
    options: tuple[str, ...], words: str, tmp_path: Path
) -> None:
    """A piece that is wider than the cloth says how wide both are, and what to do."""
    done = blocksheet("cloth", "demo:hat", *options, cwd=tmp_path)
    assert done.returncode == 2
    assert words in said(done.stderr)
    assert done.stdout == ""
    assert list(tmp_path.iterdir()) == []


def test_scripts_get_errors_as_data(tmp_path: Path) -> None:
    done = blocksheet("cloth", "demo:hat", "--cloth", "velvet", "--json", cwd=tmp_path)
    assert done.returncode == 2
    assert "velvet" in json.loads(done.stdout)["error"]["problem"]


def test_a_pattern_that_does_not_say_how_wide_its_cloth_is_asks_for_it(
    table: Table, tmp_path: Path
) -> None:
    """The plan with the least cloth is drawn meanwhile."""
    folder = tmp_path / "apron"
    assert blocksheet("export", "demo:apron", folder, cwd=tmp_path).returncode == 0
    file = folder / "pattern.toml"
    lines = file.read_text("utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("width = ")]
    assert len(kept) == len(lines) - 1
    file.write_text("\n".join(kept), "utf-8")
    words = said(blocksheet("cloth", "apron", "--effort", "quick", cwd=tmp_path).stdout)
    assert "* is the width that takes the least cloth" in words
    assert words.endswith("blocksheet cloth apron --cloth main --width 140cm")
    assert list((tmp_path / "sheets").glob("*-90cm-*.pdf"))


def test_ctrl_c_keeps_the_best_and_says_so(
    table: Table, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was not reached any more is told, width by width and cloth by cloth."""
    table.stop_at = 1
    done = blocksheet("cloth", "demo:hat", "--effort", "quick", cwd=tmp_path)
    assert done.returncode == 0
    assert "Stopped early" in done.stdout
    assert "not tried: stopped" in done.stdout
    assert "Not laid: stopped before its first plan." in done.stdout
    assert len(list((tmp_path / "sheets").iterdir())) == 1
    monkeypatch.setattr(engine, "lay_cloth", _interrupted)
    done = blocksheet("cloth", "demo:hat", cwd=tmp_path)
    assert done.returncode == 2
    assert "stopped before the first plan" in done.stderr


def _interrupted(*_: object, **_said: object) -> None:
    raise KeyboardInterrupt


def test_the_picture_speaks_the_language_that_is_asked_for(table: Table, tmp_path: Path) -> None:
    more = ("--width", "90cm", "--as", "svg")
    done = blocksheet(*HAT, *more, "--language", "DE", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    (file,) = (tmp_path / "sheets").glob("*.svg")
    assert "Webkante" in file.read_text()
    refused = blocksheet(*HAT, *more, "--language", "xx", cwd=tmp_path)
    assert refused.returncode != 0
    assert "Use one of de, en, uk" in said(refused.stderr)
