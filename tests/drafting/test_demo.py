"""Our own demo patterns are sound."""

from pathlib import Path

import pytest

from tiler.drafting.soundness import sound
from tiler.intake.folder import read_pattern

DEMO = Path(__file__).parents[2] / "demo_pieces"


@pytest.mark.parametrize("name", ["apron", "hat", "smock", "trousers"])
def test_a_demo_pattern_is_sound_without_a_finding(name: str) -> None:
    assert [str(finding) for finding in sound(read_pattern(DEMO / name)).findings] == []
