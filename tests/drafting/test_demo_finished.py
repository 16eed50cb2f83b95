"""The finished measurements that the demos state are those of their stitch lines.

Outside values: the lengths of stitch lines, which other tests hold against the drafting sums.
"""

from __future__ import annotations

import pytest

from tests.demos import drafted_demo, drafted_piece
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge


def edge(demo: str, name: str, style: str) -> Edge:
    """The stitch line of an edge, named as ``Front.E``, in a style."""
    piece, letter = name.split(".")
    for outline in drafted_piece(demo, piece).stitch:
        if outline.style in ("", style):
            return next(each for each in outline.edges if each.letter == letter)
    raise AssertionError(f"{name} has no style {style}")


def stated(demo: str, measure: str, style: str) -> float:
    (found,) = (
        each.length
        for each in drafted_demo(demo).handover.finished
        if each.name == measure and each.style in ("", style)
    )
    return found


def sewn(demo: str, style: str, *edges: tuple[str, float]) -> float:
    return sum(times * edge(demo, name, style).path.length for name, times in edges)


@pytest.mark.parametrize(
    ("demo", "measure", "style", "edges"),
    [
        ("smock", "neck opening", "long", [("Front.B", 2), ("Back.B", 2)]),
        ("smock", "hem, all round", "long", [("Front.F", 2), ("Back.F", 2)]),
        ("smock", "hem, all round", "jacket", [("Front.F", 2), ("Back.F", 2)]),
        ("smock", "sleeve at the hem", "long", [("Sleeve.D", 1)]),
        ("smock", "sleeve at the hem", "short", [("Sleeve.D", 1)]),
        ("apron", "bib, top edge", "", [("Body.B", 2)]),
        ("apron", "width at the waist and below", "", [("Body.E", 2)]),
        ("apron", "waist ties, each", "", [("Waist tie.A", 1)]),
        ("apron", "neck strap, between its ends", "", [("Neck strap.A", 1)]),
        ("trousers", "inseam", "long", [("Front.A", 1)]),
        ("trousers", "inseam", "cropped", [("Front.A", 1)]),
        ("trousers", "side seam", "long", [("Front.D", 1), ("Front.E", 1)]),
        ("trousers", "side seam", "cropped", [("Front.D", 1), ("Front.E", 1)]),
        ("trousers", "leg at the hem", "long", [("Front.F", 1), ("Back.F", 1)]),
        ("trousers", "leg at the hem", "cropped", [("Front.F", 1), ("Back.F", 1)]),
        ("trousers", "waistband, depth", "long", [("Waistband.B", 0.5)]),
        ("hat", "head girth", "wide", [("Crown panel.C", 6)]),
        ("hat", "brim", "wide", [("Brim.C", 1)]),
        ("hat", "brim", "narrow", [("Brim.C", 1)]),
    ],
)
def test_a_stated_length_is_that_of_the_seam_lines(
    demo: str, measure: str, style: str, edges: list[tuple[str, float]]
) -> None:
    assert sewn(demo, style, *edges) == pytest.approx(stated(demo, measure, style), abs=1.0)


def test_the_waist_of_the_trousers_is_that_of_the_closed_band() -> None:
    """The band is longer by the underlap, which is 30 wide."""
    band = sewn("trousers", "long", ("Waistband.A", 1)) - 30
    assert band == pytest.approx(stated("trousers", "waist girth", "long"), abs=1.0)


def test_the_chest_of_the_smock_is_four_times_the_width_under_the_arm() -> None:
    under_the_arm: Point = edge("smock", "Front.E", "long").path.start
    fold = edge("smock", "Front.A", "long").path.start
    assert 4 * abs(under_the_arm.x - fold.x) == pytest.approx(
        stated("smock", "chest girth", "long"), abs=1.0
    )
