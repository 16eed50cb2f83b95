"""``blocksheet check``: the list, the data, the pictures, and the exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.owncommand import blocksheet
from tests.demos import each_demo
from tests.drafting.checks.breaking import broken_folder


def run(*words: str, code: int, cwd: Path | None = None) -> str:
    done = blocksheet("check", *words, cwd=cwd)
    assert "Traceback" not in done.stderr
    assert done.returncode == code, done.stdout + done.stderr
    return done.stdout


@pytest.fixture
def longer(tmp_path: Path) -> Path:
    """A smock whose front side seam is 10 longer than the back's, and with a notch too many."""
    return broken_folder(
        "smock",
        tmp_path,
        ("front.svg", "L 324,851", "L 324,861"),
        ("pattern.toml", r'\{ edge = "E", meets = "Front.E" \}', '{ edge = "E", at = "240 mm" }'),
        (
            "pattern.toml",
            r'\{ edge = "E", at = "240 mm" \}',
            '{ edge = "E", at = "240 mm" }, { edge = "E", at = "400 mm" }',
        ),
    )


@each_demo
def test_a_sound_demo_passes_and_can_be_published_next(demo: str) -> None:
    printed = run(f"demo:{demo}", code=0)
    assert "Seams, mm on the stitch line" in printed
    assert printed.strip().endswith(f"Next: blocksheet publish demo:{demo} --on a4")
    assert " error " not in printed


def test_the_worst_comes_first_with_numbers_and_what_to_do(longer: Path) -> None:
    printed = run(str(longer), code=1)
    severities = [line.split()[1] for line in printed.splitlines() if line[:3].strip().isdigit()]
    assert severities[0] == "error"
    assert "  1  error    seam-length" in printed
    assert "-> Take 10 mm (3/8 in) off Front.E" in printed
    assert "notch-lone" in printed
    assert max(map(len, printed.splitlines()[:-1])) <= 100
    last = printed.strip().splitlines()[-1]
    assert last == f"Next: blocksheet check {longer} --pictures faults"


def test_lengths_stand_one_below_the_other(longer: Path) -> None:
    lines = run(str(longer), code=1).splitlines()
    table = [line for line in lines[3:12] if line.startswith("  ")]
    assert len({line.index(".") for line in table}) == 1
    side = next(line for line in table if line.strip().startswith("side seam, "))
    # From (308, 297) to (324, 861) and to (324, 851): 564.2 and 554.2 by Pythagoras.
    assert side.split()[-7:-3] == ["564.2", "554.2", "-10.0", "0"]


def test_as_json_everything_is_there_in_millimetres(longer: Path) -> None:
    facts = json.loads(run(str(longer), "--json", code=1))
    assert set(facts) == {
        "title", "maker", "version", "digest", "units", "sound", "counts", "checks", "faults",
        "seams", "findings",
    }  # fmt: skip
    assert facts["sound"] is False
    assert len(facts["checks"]) >= 25
    first = facts["faults"][0]
    assert set(first) == {
        "number", "code", "severity", "subject", "detail", "styles", "text", "remedy", "numbers",
        "places",
    }  # fmt: skip
    assert first["code"] == "seam-length"
    assert first["numbers"]["off_mm"] == pytest.approx(-9.996, abs=0.01)
    assert facts["counts"]["error"] == sum(f["severity"] == "error" for f in facts["faults"])
    shoulder = next(seam for seam in facts["seams"] if seam["name"] == "shoulder")
    assert shoulder["first"] == ["Front.C"]
    assert shoulder["first_mm"] == pytest.approx(140, abs=0.01)


def test_every_fault_gets_a_picture(longer: Path, tmp_path: Path) -> None:
    folder, whole = tmp_path / "pictures", tmp_path / "all.svg"
    words = ["--pictures", str(folder), "--format", "svg", "--picture", str(whole)]
    printed = run(str(longer), *words, code=1)
    names = sorted(file.name for file in folder.iterdir())
    assert names[0] == "01-seam-length.svg"
    assert [int(name[:2]) for name in names] == list(range(1, len(names) + 1))
    drawn = (folder / names[0]).read_text("utf-8")
    for words_there in ("What to do:", "564.2 mm", "554.2 mm", "apart; twice true size"):
        assert words_there in drawn
    assert whole.read_text("utf-8").startswith("<?xml")
    assert f"Next: put number 1 right, then blocksheet check {longer}" in printed


def test_pictures_are_png_when_nothing_is_said(longer: Path, tmp_path: Path) -> None:
    folder = tmp_path / "pictures"
    run(str(longer), "--pictures", str(folder), code=1)
    assert (folder / "01-seam-length.png").read_bytes().startswith(b"\x89PNG")
    (folder / "77-notch-off.png").write_bytes(b"old")
    assert "77-notch-off.png is from an earlier check" in run(
        str(longer), "--pictures", str(folder), code=1
    )


def test_the_patterns_own_drawing_is_not_written_over(longer: Path) -> None:
    before = (longer / "front.svg").read_bytes()
    done = blocksheet("check", longer, "--picture", longer / "front.svg")
    assert done.returncode == 2
    assert "belongs to the pattern" in done.stderr
    assert (longer / "front.svg").read_bytes() == before


def test_a_single_drawing_without_seams_is_checked_too(tmp_path: Path) -> None:
    drawing = tmp_path / "block.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="300mm" '
        'viewBox="0 0 200 300"><path d="M 10,290 L 10,10 L 190,10 L 190,290 Z"/></svg>'
    )
    printed = run(str(drawing), code=0)
    assert "Noticed while reading and drafting" in printed
    assert "no-grainline" not in printed
    assert "There is no grainline" in printed


def test_what_cannot_be_read_is_one_sentence_and_code_2(tmp_path: Path) -> None:
    done = blocksheet("check", tmp_path / "nothing")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
