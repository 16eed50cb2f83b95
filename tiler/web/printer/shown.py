"""A plan as the page shows it: the picture, the count, and where each piece lies."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.job.planning import look_over
from tiler.layout.plan import Plan, Spent, Tally
from tiler.sheets.listing import names_in_runs, numbers_in_runs, pages_of

if TYPE_CHECKING:
    from tiler.pattern.model import Finding, Pattern
    from tiler.web.printer.desk import Laid

#: Findings that the page tells in words of its own.
_TOLD_HERE = ("placed-over", "placed-close")


@dataclass(frozen=True)
class Place:
    """Where a piece lies.

    Args:
        piece: Its name.
        cells: Names of its pages.
        names: The same, neighbours in one.
        numbers: Of the pages in the file, as a print window takes them; empty before it was made.
        over: Whether it lies over another one.
    """

    piece: str
    cells: tuple[str, ...]
    names: str
    numbers: str
    over: bool


@dataclass(frozen=True)
class Sight:
    """A plan, ready to be shown.

    Args:
        picture: As SVG.
        pages: How many are printed.
        tally: How well it does; None when nobody has counted.
        spent: The same for whole pieces on large paper.
        paper: Its name; of a roll its width.
        landscape: Whether it lies on its side.
        places: In the pattern's order.
        sheets: How many sheets there are to tape, and how many single pages.
        findings: What has to be told.
        over: Pairs of pieces that lie over one another.
        near: Pairs that are nearer than asked, and how much paper is free between them.
        taped: Whether pages are taped, so that pieces can be moved by hand.
    """

    picture: str
    pages: int
    tally: Tally | None
    spent: Spent | None
    paper: str
    landscape: bool
    places: tuple[Place, ...]
    sheets: tuple[int, int]
    findings: tuple[Finding, ...]
    over: tuple[tuple[str, str], ...]
    near: tuple[tuple[str, str, float], ...]
    taped: bool


@dataclass(frozen=True)
class _Close:
    """Pairs that lie over one another, pairs that are too near, and the names of the former."""

    over: tuple[tuple[str, str], ...] = ()
    near: tuple[tuple[str, str, float], ...] = ()
    names: frozenset[str] = frozenset()


def sight_of(laid: Laid, pattern: Pattern, front: int | None) -> Sight:
    """A plan for the screen.

    Args:
        laid: The plan.
        pattern: As `read` gives it.
        front: Pages before those of the pattern in the file; None before it was made.
    """
    from tiler.output.svg import svg_bytes
    from tiler.sheets.planpicture import draw_plan_picture

    plan, setup = laid.plan, laid.plan.grid.setup
    taped = not setup.paper.large
    findings, close = laid.findings, _Close()
    if taped and laid.moved:
        seen = look_over(plan, pattern, laid.order.packing)
        findings = tuple(each for each in seen if each.code not in _TOLD_HERE)
        close = _close(plan, pattern, laid.order.packing.gap)
    drawn = svg_bytes(draw_plan_picture(plan, pattern, close.names), setup.words).decode()
    tapes = sum(len(cells) > 1 for cells in plan.sheets)
    return Sight(
        picture=drawn[drawn.index("<svg") :],
        pages=len(plan.cells),
        tally=plan.tally,
        spent=plan.spent,
        paper=setup.paper.name.removeprefix("roll "),
        landscape=setup.landscape,
        places=_places(plan, front, close.names),
        sheets=(tapes, len(plan.sheets) - tapes),
        findings=findings,
        over=close.over,
        near=close.near,
        taped=taped,
    )


def _places(plan: Plan, front: int | None, over: frozenset[str]) -> tuple[Place, ...]:
    number = {cell: (front or 0) + n for n, cell in enumerate(plan.cells, start=1)}
    found = []
    for placement in plan.placements:
        cells, name = pages_of(plan, placement), placement.piece.name
        numbers = ""
        if front is not None:
            runs = numbers_in_runs(sorted(number[cell] for cell in cells))
            # Print windows take a hyphen for a range.
            numbers = ", ".join(runs).replace("–", "-")
        words = ", ".join(names_in_runs(cells))
        found.append(Place(name, tuple(c.name for c in cells), words, numbers, name in over))
    return tuple(found)


def _close(plan: Plan, pattern: Pattern, gap: float) -> _Close:
    from tiler.layout.byhand import units_on
    from tiler.layout.crowding import Lain

    units = units_on(plan, pattern)
    over, near, names = [], [], set[str]()
    for pair in Lain(plan, units).close(gap):
        members = units[pair.one], units[pair.other]
        one, other = (" + ".join(piece.name for piece in unit) for unit in members)
        if pair.over:
            over.append((one, other))
            names |= {piece.name for unit in members for piece in unit}
        else:
            near.append((one, other, pair.apart))
    return _Close(tuple(over), tuple(near), frozenset(names))
