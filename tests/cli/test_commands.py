"""The command: what it prints, what it writes, and that it starts at once."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.owncommand import blocksheet
from tiler.cli.progress import Ticker

QUICK = ("publish", "--effort", "quick")


def run(*words: str, cwd: Path | None = None) -> str:
    done = blocksheet(*words, cwd=cwd)
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_look_lists_every_piece_and_the_next_step() -> None:
    printed = run("look", "demo:smock")
    for words in ("Front", "Sleeve", "A  centre front", "fold", "mm", " in", "m²"):
        assert words in printed
    assert printed.strip().endswith("blocksheet publish demo:smock --on a4")


def test_look_as_json_has_lengths_in_millimetres() -> None:
    facts = json.loads(run("look", "demo:hat", "--json"))
    assert facts["units"] == {"length": "mm", "area": "mm2"}
    crown = next(piece for piece in facts["pieces"] if piece["name"] == "Crown panel")
    assert crown["cut"][0]["count"] == 6
    for edge in crown["edges"]:
        assert 10 < edge["length"] < 1000


@pytest.mark.parametrize(
    ("ending", "magic"), [("svg", b"<?xml"), ("png", b"\x89PNG"), ("pdf", b"%PDF-1.7")]
)
def test_look_draws_a_picture(tmp_path: Path, ending: str, magic: bytes) -> None:
    run("look", "demo:apron", "--picture", str(tmp_path / f"apron.{ending}"))
    assert (tmp_path / f"apron.{ending}").read_bytes().startswith(magic)


def test_publish_writes_a_file_for_each_paper_and_says_that_it_is_proven(tmp_path: Path) -> None:
    printed = run(*QUICK, "demo:hat", "--on", "a4", "--on", "Letter", "--on", "a4", cwd=tmp_path)
    names = sorted(file.name for file in (tmp_path / "sheets").iterdir())
    assert names == ["panelled-sun-hat-a4.pdf", "panelled-sun-hat-letter.pdf"]
    assert printed.count("Proven: ") == 2
    assert "Next: print page 1" in printed


def test_prove_measures_against_the_pattern_inside_and_another(tmp_path: Path) -> None:
    run(*QUICK, "demo:hat", "--on", "letter", cwd=tmp_path)
    file = str(tmp_path / "sheets" / "panelled-sun-hat-letter.pdf")
    assert "Proven: " in run("prove", file)
    assert "Proven: " in run("prove", file, "--against", "demo:hat")


def test_each_command_works_in_a_process_of_its_own(tmp_path: Path) -> None:
    """Started by the system, with nothing loaded that another command has loaded before."""
    file = str(tmp_path / "sheets" / "panelled-sun-hat-a4.pdf")
    surroundings = {**os.environ, "BLOCKSHEET_HOME": str(tmp_path / "own")}
    for words in (
        ("look", "demo:hat", "--picture", "hat.png"),
        ("check", "demo:hat", "--pictures", "faults"),
        (*QUICK, "demo:hat", "--map", "svg"),
        ("prove", file),
        ("export", "demo:hat", "hat.dxf"),
        ("look", "hat.dxf"),
        ("scale", "--sheet"),
        ("mat", "new", "bench", "--pixels", "1920x1080", "--size", "1200 mm x 700 mm"),
        ("mat", "grid", "bench"),
    ):
        done = subprocess.run(
            [sys.executable, "-m", "tiler", *words],
            capture_output=True, text=True, timeout=120, check=False, cwd=tmp_path,
            env=surroundings,
        )  # fmt: skip
        assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
        assert "Next: " in done.stdout


def test_help_needs_no_heavy_library() -> None:
    code = (
        "import sys, tiler.cli.main as m\n"
        "try:\n m.main(['--help'])\nexcept SystemExit: pass\n"
        "heavy = {'reportlab', 'pypdf', 'shapely', 'numpy', 'lxml', 'svgelements', 'PIL'}\n"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip().endswith("[]")


def test_progress_is_quiet_when_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    with Ticker() as ticker:
        for step in range(5):
            ticker.tick("drawing", step, 5)
    assert capsys.readouterr().err == ""
