"""What the pattern file says, without the lines on which it says it."""

from __future__ import annotations

import pytest

from tests.demos import DEMO_PIECES, DEMOS
from tiler.intake.patternfile import parse_pattern_file
from tiler.intake.words.model import PatternWords
from tiler.job.unplaced import Unplaced


def words_of(demo: str, above: bytes = b"") -> PatternWords:
    return parse_pattern_file(above + (DEMO_PIECES / demo / "pattern.toml").read_bytes())


@pytest.mark.parametrize("demo", DEMOS)
def test_lines_above_make_no_difference(demo: str) -> None:
    here, below = words_of(demo), words_of(demo, b"# One\n# Two\n")
    assert here != below
    assert Unplaced(here).words == Unplaced(below).words


@pytest.mark.parametrize("demo", DEMOS)
def test_all_places_can_be_put_back(demo: str) -> None:
    words = words_of(demo)
    unplaced = Unplaced(words)
    assert unplaced.placed(unplaced.words) == words
    place = words.pieces[0].where
    told = f"Look at {unplaced.words.pieces[0].where}, key notches."
    assert place not in told
    assert unplaced.placed(told) == f"Look at {place}, key notches."
