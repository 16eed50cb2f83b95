"""``blocksheet publish --on mat:NAME``: from a measured mat to pictures for the projector."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli import owncommand

LENGTHS = {
    "lower": "1500 mm",
    "right": "850 mm",
    "upper": "1520 mm",
    "left": "845 mm",
    "rising": "1731 mm",
    "falling": "1733 mm",
}


def blocksheet(*words: str, cwd: Path, code: int = 0) -> str:
    done = owncommand.blocksheet(*words, cwd=cwd, home=cwd / "kept")
    assert done.returncode == code, done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout + done.stderr


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    size = ("--pixels", "1920x1080", "--size", "1200 mm x 700 mm")
    blocksheet("mat", "new", "Bench", *size, cwd=tmp_path)
    return tmp_path


def measure(folder: Path) -> None:
    words = [part for name, length in LENGTHS.items() for part in (f"--{name}", length)]
    blocksheet("mat", "measure", "bench", *words, cwd=folder)


def test_a_measured_mat_gets_a_set_and_paper_its_sheets(bench: Path) -> None:
    """Both in one go; the name of a mat is found whatever its capitals."""
    measure(bench)
    options = ("--on", "mat:BENCH", "--on", "a3", "--effort", "quick", "--ground", "light")
    told = blocksheet("publish", "demo:hat", *options, cwd=bench)
    assert (bench / "sheets" / "panelled-sun-hat-a3.pdf").is_file()
    folder = bench / "sheets" / "panelled-sun-hat-mat-bench"
    assert (folder / "01-start.png").is_file()
    assert folder.with_name(f"{folder.name}.pdf").is_file()
    assert told.count("Proven") == 2
    for words in ("at the worst corner", "beam", "cables", "manuals", "local rules", "Next: "):
        assert words in told


def test_an_unmeasured_mat_is_refused_before_anything_is_written(bench: Path) -> None:
    told = blocksheet("publish", "demo:hat", "--on", "a3", "--on", "mat:bench", cwd=bench, code=2)
    assert "not measured yet" in told
    assert "blocksheet mat grid" in told
    assert not (bench / "sheets").exists()


def test_an_unknown_mat_is_refused_with_those_that_are_known(bench: Path) -> None:
    told = blocksheet("publish", "demo:hat", "--on", "mat:floor", cwd=bench, code=2)
    assert "'floor'" in told
    assert "'Bench'" in told


def test_pictures_for_a_projector_are_not_taken_for_sheets(bench: Path) -> None:
    measure(bench)
    blocksheet("publish", "demo:hat", "--on", "mat:bench", "--piece", "Brim", cwd=bench)
    pdf = Path("sheets") / "panelled-sun-hat-brim-mat-bench.pdf"
    told = blocksheet("prove", str(pdf), cwd=bench, code=1)
    assert "pictures for a projector" in told
