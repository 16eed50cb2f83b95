"""Papers, margins and wishes at their limits, from the pieces to the proven file."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from itertools import combinations
from pathlib import Path as File
from random import Random

import pytest
import shapely
from shapely.geometry.base import BaseGeometry

from tests.bench.sets import garment_set
from tests.demos import pattern_of_demo
from tests.laying import laid as laid_out
from tests.output.pagewords import sights
from tests.output.puzzle import laid, rebuilt, true_sheets
from tests.strategies import pattern_of, rectangular
from tiler.layout.bridges import groups_of
from tiler.layout.packing.options import Packing
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.layout.units import units_of
from tiler.output.pdf import pdf_bytes
from tiler.pattern.bounds import bounds_of
from tiler.pattern.model import Cut, Lay, Pattern
from tiler.proof import prove
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way

#: Lines are flattened this closely here, millimetres.
CLOSE = 0.01
#: What the layout knows of a line may be this far from it (`tiler/layout/ink.py`), twice: for
#: either of two pieces.
ROUGH = 0.1


def small_pieces(count: int) -> Pattern:
    """Loops, tabs and pocket flaps by chance, always the same."""
    rng = Random(30)
    cuts = (Cut(2, "main", Lay.COPIES),)
    return pattern_of(
        *(
            rectangular(f"Tab {number + 1}", rng.uniform(30, 110), rng.uniform(20, 70), cuts=cuts)
            for number in range(count)
        )
    )


def together() -> Pattern:
    pieces = [rectangular(f"Bag {number + 1}", 130 - 9 * number, 90) for number in range(6)]
    groups = (("Bag 1", "Bag 4"), ("Bag 5", "Bag 6"))
    return pattern_of(*pieces, rectangular("Skirt", 380, 520), together=groups)


PATTERNS = {
    "hat": lambda: pattern_of_demo("hat"),
    "apron": lambda: pattern_of_demo("apron"),
    "tiny": lambda: pattern_of(rectangular("Loop", 24, 9)),
    "thirty": lambda: small_pieces(30),
    "sash": lambda: pattern_of(rectangular("Sash", 2500, 120), rectangular("Tab", 60, 40)),
    "sash upright": lambda: pattern_of(rectangular("Sash", 130, 2500)),
    "hollow": lambda: pattern_of(rectangular("Cloth", 1100, 1300)),
    "together": together,
    **{f"set {seed}": (lambda seed=seed: garment_set(seed)) for seed in (2, 10, 14)},
}


@cache
def pattern_called(name: str) -> Pattern:
    return PATTERNS[name]()


@dataclass(frozen=True)
class Case:
    """A print: what, on which paper, asked how."""

    what: str
    paper: str = "a4"
    landscape: bool = False
    margin: float = 10.0
    overlap: float = 10.0
    way: Way = Way.OVERLAP
    asked: Packing = field(default_factory=lambda: Packing("quick"))

    def __str__(self) -> str:
        size = f"{self.margin:g}-{self.overlap:g}-{self.asked.gap:g}"
        return f"{self.what} {self.paper} {size} {self.way.value} {self.asked.seed}"


def quick(**asked: object) -> Packing:
    return Packing("quick", **asked)  # type: ignore[arg-type]


CASES = (
    Case("hat", "a5"),
    Case("apron", "a5", way=Way.SEE_THROUGH),
    Case("apron", "a3", way=Way.BUTT),
    Case("apron", "a0"),
    Case("apron", "tabloid"),
    Case("hat", "tabloid", landscape=True),
    Case("hat", margin=0.0),
    Case("apron", margin=18.0, way=Way.BUTT),
    Case("hat", "letter", overlap=8.0, way=Way.SEE_THROUGH),
    Case("apron", overlap=40.0),
    Case("hat", overlap=60.0, way=Way.SEE_THROUGH),
    Case("apron", asked=quick(gap=0.0)),
    Case("hat", asked=quick(gap=30.0)),
    Case("apron", asked=quick(turn=False), way=Way.BUTT),
    Case("set 2", asked=quick(small_whole=True)),
    Case("together"),
    Case("together", asked=quick(turn=False, small_whole=True, gap=0.0)),
    Case("tiny"),
    Case("tiny", "a0", margin=0.0),
    Case("tiny", "a5", landscape=True, overlap=8.0, way=Way.BUTT),
    Case("thirty"),
    Case("thirty", "a5", asked=quick(gap=0.0, seed=4), way=Way.SEE_THROUGH),
    Case("sash"),
    Case("sash", "a5", asked=quick(turn=False), way=Way.BUTT),
    Case("sash upright", landscape=True, asked=quick(turn=False, gap=100.0)),
    Case("hollow", "a3", way=Way.SEE_THROUGH),
    Case("set 2", asked=quick(seed=987654321)),
    Case("set 10", "letter", asked=quick(seed=2), way=Way.BUTT),
    Case("set 14", asked=quick(seed=77, turn=False), way=Way.SEE_THROUGH),
    Case("set 10", "a5", margin=0.0, overlap=40.0, asked=quick(seed=3, gap=30.0)),
)


@pytest.mark.parametrize("case", CASES, ids=str)
def test_an_extreme_layout_is_true_whole_and_can_be_put_together(
    case: Case, tmp_path: File
) -> None:
    pattern = pattern_called(case.what)
    setup = PageSetup(find_paper(case.paper), case.landscape, case.margin, case.overlap)
    plan = laid_out(pattern, [setup], case.asked, share=0.2)
    content = pdf_bytes(lay_out(pattern, plan, way=case.way))
    file = tmp_path / "extreme.pdf"
    file.write_bytes(content)

    verdict = prove(file, pattern)
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.pieces == len(pattern.pieces)

    drawn = units_drawn(pattern, plan)
    for first, second in combinations(drawn, 2):
        assert first.paper.distance(second.paper) >= case.asked.gap - ROUGH
        assert first.paper.intersection(second.paper).area < 0.001
    pages = [cells_under(unit, plan) for unit in drawn]
    windows = shapely.union_all([shapely.box(*plan.grid.window(cell)) for cell in plan.cells])
    assert all(windows.covers(unit.lines) for unit in drawn)
    for blank in frozenset(plan.cells).difference(*pages):
        assert is_bridge(blank, pages, plan), f"{blank.name} is printed for nothing"

    as_asked(case, pattern, plan, pages)
    assert rebuilt(laid(sights(content)).sheets) == true_sheets(plan)


@dataclass(frozen=True)
class Unit:
    """A piece or a joined pair where it lies, sheet millimetres: paper and lines."""

    paper: BaseGeometry
    lines: BaseGeometry


def units_drawn(pattern: Pattern, plan: Plan) -> list[Unit]:
    at = {placement.piece.name: placement.at for placement in plan.placements}
    found = []
    for unit in units_of(pattern):
        paper, lines = [], []
        for piece in unit:
            paths = [outline.path for outline in piece.outlines]
            rings = [path.moved(at[piece.name]).flattened(CLOSE) for path in paths]
            paper += [shapely.Polygon(ring).buffer(0) for ring in rings]
            lines += [shapely.LinearRing(ring) for ring in rings]
            paths = [each.path for each in (*piece.lines, *piece.marks)]
            paths += [piece.grain] if piece.grain else []
            lines += [shapely.LineString(p.moved(at[piece.name]).flattened(CLOSE)) for p in paths]
        drawn = shapely.MultiLineString(lines)
        found.append(Unit(shapely.union_all([*paper, drawn]), drawn))
    return found


def cells_under(unit: Unit, plan: Plan) -> frozenset[Cell]:
    """The pages to whose own part a line comes."""
    return frozenset(
        cell
        for cell in plan.cells
        if shapely.box(*plan.grid.core(cell)).distance(unit.lines) <= ROUGH / 2
    )


def is_bridge(blank: Cell, pages: list[frozenset[Cell]], plan: Plan) -> bool:
    """Whether the pages of some unit would fall apart without it."""
    block = plan.grid.block_of(blank)
    others = [cell for cell in plan.cells if block.holds(cell) and cell != blank]
    groups = groups_of(others)
    return any(
        len([group for group in groups if group & inked]) > 1
        for inked in pages
        if any(block.holds(cell) for cell in inked)
    )


def as_asked(case: Case, pattern: Pattern, plan: Plan, pages: list[frozenset[Cell]]) -> None:
    """What the maker asks of the packing beside few pages."""
    for placement in plan.placements:
        at = placement.at
        assert at.determinant == pytest.approx(1, abs=1e-9)
        if not case.asked.turn:
            assert (at.a, at.b) == (1.0, 0.0)
    names = [[piece.name for piece in unit] for unit in units_of(pattern)]
    for group in pattern.together:
        shared = [p for unit, p in zip(names, pages, strict=True) if set(unit) & set(group)]
        for own in shared:
            assert any(own & other for other in shared if other is not own)
    if case.asked.small_whole:
        window = plan.grid.setup.window
        for unit, own in zip(units_of(pattern), pages, strict=True):
            box = bounds_of([piece.bounds for piece in unit])
            # As drawn it fits a page with room to spare.
            if box.width < window.width - 2 and box.height < window.height - 2:
                assert len(own) == 1
