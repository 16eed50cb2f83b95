"""Our own demo patterns are sound once they are drafted, and as they come to paper."""

import pytest

from tests.demos import DEMOS, drafted_demo
from tiler.drafting.paper import for_paper
from tiler.drafting.soundness import sound
from tiler.pattern.model import Pattern, Severity


@pytest.mark.parametrize("demo", DEMOS)
def test_a_demo_pattern_is_sound(demo: str) -> None:
    assert told(sound(drafted_demo(demo))) == []
    assert told(sound(for_paper(drafted_demo(demo)))) == []


def told(pattern: Pattern) -> list[str]:
    """What is worth more than a note; a dart that was opened is noted."""
    return [str(each) for each in pattern.findings if each.severity is not Severity.NOTE]
