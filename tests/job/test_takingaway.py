"""A pattern folder in one file is the pattern, and no more."""

from __future__ import annotations

import subprocess
from pathlib import Path

from tests.job.seedpouch import DRAWING, seed_pouch
from tiler.job import read
from tiler.job.takingaway import take_away


def test_unpacked_it_is_the_pattern_again(tmp_path: Path) -> None:
    """Taken out with Info-ZIP's unzip."""
    pouch = seed_pouch(tmp_path / "pouch")
    (pouch / "sheets").mkdir()
    (pouch / "sheets" / "old.pdf").write_bytes(b"old")
    (pouch / ".before").mkdir()
    take_away(pouch, tmp_path / "away.zip")
    home = tmp_path / "home"
    subprocess.run(["unzip", "-q", tmp_path / "away.zip", "-d", home], check=True)
    files = sorted(path.relative_to(home).as_posix() for path in home.rglob("*") if path.is_file())
    assert files == sorted(["seed-pouch/pattern.toml", f"seed-pouch/{DRAWING}"])
    assert read(home / "seed-pouch").digest == read(pouch).digest


def test_it_comes_out_the_same_twice(tmp_path: Path) -> None:
    pouch = seed_pouch(tmp_path / "pouch")
    take_away(pouch, tmp_path / "one.zip")
    take_away(pouch, tmp_path / "two.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
