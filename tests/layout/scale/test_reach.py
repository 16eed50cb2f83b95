"""The lengths that an error is carried over: round the body, along the grain, the longest seam."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from tests.demos import DEMO_PIECES
from tiler.drafting.draft import drafted
from tiler.intake.folder import read_pattern
from tiler.layout.scale import reach_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Cut, Edge, Lay, Lies, Outline, Part, Pattern, Piece, Role, Seam
from tiler.pattern.path import Path, polyline, rectangle
from tiler.pattern.wishes import EdgeName


def piece(
    name: str,
    width: float,
    height: float,
    cut: Cut | None,
    part: Part | None = None,
    turn: float = 0.0,
) -> Piece:
    """A rectangle with its grain along its height, turned on the drawing."""
    path = rectangle(Bounds(0, 0, width, height)).moved(Affine.turn(turn))
    edges = tuple(
        Edge("ABCD"[i], Path((segment,)), Lies.SEWN) for i, segment in enumerate(path.segments)
    )
    grain = polyline([Point(width / 2, 10), Point(width / 2, height - 10)])
    return Piece(
        name,
        (Outline(Role.STITCH, edges),),
        grain=grain.moved(Affine.turn(turn)),
        cuts=(cut,) if cut else (),
        part=part,
    )


def skirt(*more: Piece, turn: float = 0.0) -> Pattern:
    front = piece("Front", 250, 600, Cut(1, "main", Lay.FOLD), Part.FRONT, turn)
    back = piece("Back", 240, 620, Cut(2, "main", Lay.PAIR), Part.BACK, -turn)
    return Pattern("Skirt", (front, back, *more), cloths=(("main", "wool"), ("lining", "silk")))


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0])
def test_the_girth_is_the_widest_front_and_back_as_often_as_they_are_cut(turn: float) -> None:
    """A front of 250 on the fold and a pair of backs of 240: 2 x 250 + 2 x 240 = 980."""
    reach = reach_of(skirt(turn=turn))
    assert reach.girth.length == pytest.approx(980, abs=0.5)
    assert reach.girth.what == "Front and 2 x Back, where widest"
    assert reach.length.length == pytest.approx(620, abs=0.5)
    assert reach.length.what.startswith("Back")


def test_pieces_beside_the_body_and_of_other_cloth_do_not_count() -> None:
    pocket = piece("Pocket", 900, 100, Cut(2, "main", Lay.COPIES))
    lining = piece("Lining", 900, 900, Cut(2, "lining", Lay.PAIR), Part.FRONT)
    facing = piece("Facing", 60, 100, Cut(2, "main", Lay.PAIR), Part.FRONT)
    reach = reach_of(skirt(pocket, lining, facing))
    assert reach.girth.length == pytest.approx(980, abs=0.5)
    assert reach.length.length == pytest.approx(620, abs=0.5)


def test_without_front_and_back_it_is_the_longest_seam() -> None:
    brim = piece("Brim", 175, 560, Cut(4, "main", Lay.COPIES))
    crown = piece("Crown", 560, 90, Cut(1, "main", Lay.COPIES))
    seam = Seam((EdgeName("Brim", "B"),), (EdgeName("Crown", "A"),), name="brim")
    pattern = Pattern("Hat", (brim, crown), cloths=(("main", "drill"),))
    reach = reach_of(replace(pattern, seams=(seam,)))
    assert reach.girth.what.startswith("brim")
    assert reach.girth.length == pytest.approx(560)


def test_a_single_outline_is_carried_over_as_it_is_drawn() -> None:
    reach = reach_of(Pattern("Bag", (piece("Side", 300, 200, None),)))
    assert reach.girth.length == pytest.approx(300)
    assert reach.length.length == pytest.approx(200)
    assert reach.seam
    assert reach.seam.length == pytest.approx(300)


def test_the_longest_seam_is_one_between_two_pieces() -> None:
    tie = piece("Tie", 900, 40, Cut(1, "main", Lay.COPIES))
    folded = Seam((EdgeName("Tie", "A"),), (EdgeName("Tie", "C"),), name="tie, folded")
    side = Seam((EdgeName("Front", "B"),), (EdgeName("Back", "D"),), name="side seam")
    reach = reach_of(replace(skirt(tie), seams=(folded, side)))
    assert reach.seam
    assert reach.seam.what == "side seam"
    assert reach.seam.length == pytest.approx(620)


@pytest.mark.parametrize("demo", ["smock", "trousers"])
def test_widths_agree_with_an_independent_library(demo: str) -> None:
    """Shapely cuts each stitch ring with level lines, 4 mm apart."""
    pattern = drafted(read_pattern(DEMO_PIECES / demo))
    total = 0.0
    for name in ("Front", "Back"):
        (found,) = (p for p in pattern.pieces if p.name == name)
        assert found.grain
        foot, head = found.grain.start, found.grain.end
        assert abs(foot.x - head.x) < 1e-6, "these are drawn with their grain upright"
        widest = 0.0
        for ring in found.stitch:
            area = shapely.Polygon(ring.path.flattened(0.02))
            left, bottom, right, top = area.bounds
            for step in range(int(top - bottom) // 4):
                level = bottom + 1 + 4 * step
                line = shapely.LineString([(left - 1, level), (right + 1, level)])
                widest = max(widest, area.intersection(line).length)
        total += 2 * widest
    assert reach_of(pattern).girth.length == pytest.approx(total, abs=2.0)
