"""What is asked wrongly is refused in words, with the edge."""

import math
from dataclasses import replace

import pytest

from tests.drafting.allowance.making import all_of, as_role, ring, square
from tiler.drafting.allowance import MITRED, cut_outline, stitch_outline
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline, Role


@pytest.mark.parametrize(
    ("widths", "words"),
    [
        ({"A": 1, "B": 1, "C": 1}, "edge D: no seam allowance is given"),
        ({"A": 1, "B": 1, "C": 1, "D": -1}, "edge D: -1 mm is not a seam allowance"),
        ({"A": math.nan, "B": 1, "C": 1, "D": 1}, "edge A: nan mm is not a seam allowance"),
        ({"A": 1, "B": math.inf, "C": 1, "D": 1}, "edge B: inf mm is not a seam allowance"),
        ({"A": 1, "B": 1e300, "C": 1, "D": 1}, "edge B: 1e.300 mm is not a seam allowance"),
        ({"A": 1, "B": 1, "C": 1, "D": 1, "E": 1}, "edge E: there is no such edge"),
    ],
)
def test_widths(widths: dict[str, float], words: str) -> None:
    with pytest.raises(PatternError, match=words):
        cut_outline(square(), widths)
    with pytest.raises(PatternError, match=words):
        stitch_outline(as_role(square(), Role.CUT), widths)


def test_a_finish_of_an_edge_that_is_not_there() -> None:
    with pytest.raises(PatternError, match="edge X: there is no such edge"):
        cut_outline(square(), all_of(square(), 10), {"X": MITRED})


def test_the_role_is_minded() -> None:
    with pytest.raises(PatternError, match="the outline is a stitch line"):
        stitch_outline(square(), all_of(square(), 10))


def test_an_outline_the_wrong_way_round() -> None:
    flipped = Affine(-1, 0, 0, 1, 0, 0)
    edges = tuple(replace(edge, path=edge.path.moved(flipped)) for edge in square().edges)
    with pytest.raises(PatternError, match="the edges run anticlockwise"):
        cut_outline(Outline(Role.STITCH, edges), all_of(square(), 10))


def test_an_outline_with_a_gap() -> None:
    edges = square().edges
    with pytest.raises(PatternError, match="edges C and A: the edges do not meet"):
        cut_outline(Outline(Role.STITCH, edges[:3]), {"A": 1, "B": 1, "C": 1})


def test_an_outline_that_crosses_itself() -> None:
    with pytest.raises(PatternError, match="edges A and C cross or touch"):
        cut_outline(ring((0, 0), (100, 100), (100, 0), (0, 50)), dict.fromkeys("ABCD", 5.0))


def test_a_letter_twice() -> None:
    edges = tuple(replace(edge, letter="A") for edge in square().edges)
    with pytest.raises(PatternError, match="A: the outline has an edge letter twice"):
        cut_outline(Outline(Role.STITCH, edges), {"A": 1})
