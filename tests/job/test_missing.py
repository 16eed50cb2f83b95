"""What a pattern does not tell yet is named, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.job.seedpouch import seed_pouch
from tiler.job import read
from tiler.job.missing import MISSING, missing
from tiler.pattern.handover import Handover
from tiler.pattern.model import Pattern


@pytest.fixture(scope="module")
def pattern(tmp_path_factory: pytest.TempPathFactory) -> Pattern:
    return read(seed_pouch(tmp_path_factory.mktemp("plots") / "pouch"))


def test_nothing_is_missing_where_everything_is_said(pattern: Pattern) -> None:
    assert missing(pattern) == ()


def test_everything_is_missing_where_nothing_is_said(pattern: Pattern) -> None:
    """But for how wide a cloth is that nobody has named: that piece has no cloth at all."""
    uncut = tuple(replace(piece, cuts=()) for piece in pattern.pieces)
    bare = replace(pattern, maker="", about="", cloths=(), pieces=uncut, handover=Handover())
    assert missing(bare) == tuple(what for what in MISSING if what not in ("cloth", "width"))


def test_a_cloth_is_missed_by_what_it_is_and_how_wide(pattern: Pattern) -> None:
    bare = replace(pattern, cloths=(), handover=replace(pattern.handover, cloths=()))
    assert missing(bare) == ("cloth", "width")


def test_what_is_said_of_a_pattern_file_counts(tmp_path: Path) -> None:
    pouch = seed_pouch(tmp_path / "pouch", **{"sewing__=": "# sewing ="})
    assert missing(read(pouch)) == ("sewing",)
