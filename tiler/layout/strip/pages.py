"""Whole pieces on a roll or on large sheets, as a plan."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tiler.layout.arrange import arrange
from tiler.layout.packing.options import Packing
from tiler.layout.papers import Paper
from tiler.layout.plan import Placement, Plan, Spent
from tiler.layout.strip.items import Item, items_of
from tiler.layout.strip.lay import Lain, Progress, ends, lay
from tiler.layout.strip.paper import RIM, Strip
from tiler.layout.strip.shelves import shelved
from tiler.layout.tiles import LEAST_LONG, STRIP, Cell, PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PaperError
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.units import LONGEST_SIDE, format_inch, format_mm

#: One check bar of a page is at least as long, millimetres.
LEAST_BAR = 500.0

#: Between the head and the pieces, millimetres: a curve may lie outside its chords by a twentieth.
CLEAR = 0.5

#: Height of what the first page of a setup says at its head, millimetres.
Head = Callable[[PageSetup], float]


@dataclass(frozen=True)
class _Job:
    """What is laid, and how."""

    pattern: Pattern
    packing: Packing
    progress: Progress | None
    units: tuple[tuple[Piece, ...], ...]
    items: tuple[Item, ...]

    @classmethod
    def of(cls, pattern: Pattern, packing: Packing, progress: Progress | None) -> _Job:
        units = units_of(pattern)
        return cls(pattern, packing, progress, units, items_of(units, packing))

    @property
    def area(self) -> float:
        return sum(item.area for item in self.items)


def on_sheets(
    pattern: Pattern,
    setups: Sequence[PageSetup],
    packing: Packing,
    head: Head,
    progress: Progress | None = None,
) -> Plan | None:
    """All pieces whole on as few sheets as can be found; None where one goes on no sheet.

    Args:
        pattern: At least one piece; joined ones lie in one coordinate frame.
        setups: The ways in which the paper may lie; the better one is taken.
        packing: What is asked of the layout.
        head: How much of the first sheet is kept free.
        progress: Told how good the best layout is.
    """
    job = _Job.of(pattern, packing, progress)
    strips = [
        (setup, Strip(setup.window.width, setup.window.height, head(setup) + CLEAR))
        for setup in setups
    ]
    good = [
        (setup, strip) for setup, strip in strips if all(_goes(item, strip) for item in job.items)
    ]
    if not good:
        return None
    if len(good) > 1:
        # A quick look tells which way round is better.
        hasty = replace(packing, effort="quick")
        looks = [lay(job.items, strip, hasty) for _, strip in good]
        best = min(range(len(good)), key=lambda k: (looks[k].lengths, k))
        good = [good[best]]
    setup, strip = good[0]
    return _planned(job, setup, strip, lay(job.items, strip, packing, progress))


def on_roll(
    pattern: Pattern,
    roll: Paper,
    margin: float,
    packing: Packing,
    head: Head,
    progress: Progress | None = None,
    *,
    one_length: bool = False,
) -> Plan:
    """All pieces whole on a roll, on a page as long as needed.

    A page that would be longer than a page of a PDF can be for every reader is made several pages
    of one length.

    Args:
        pattern: At least one piece; joined ones lie in one coordinate frame.
        roll: The paper; its height is not heeded.
        margin: What the printer leaves free on each side, millimetres.
        packing: What is asked of the layout.
        head: How much of the first page is kept free.
        progress: Told how good the best layout is.
        one_length: Whether it is one page, however long.

    Raises:
        PaperError: A piece goes on no page in any turn.
    """
    job = _Job.of(pattern, packing, progress)
    around = 2 * (margin + STRIP)
    width = roll.width - around
    endless = Strip(width, head=head(_cut(roll, margin, 0.0)) + CLEAR)
    _refuse_wide(job, roll, width)
    limit = LONGEST_SIDE - around
    needed = 0.0
    if not one_length:
        needed = max(ends(job.items, shelved(job.items, endless, packing.gap)))
        if needed > limit:
            # A hasty look tells whether one page is enough.
            needed = lay(job.items, endless, replace(packing, effort="quick")).longest
    if needed <= limit:
        lain = lay(job.items, endless, packing, progress)
        return _planned(job, _cut(roll, margin, lain.longest), endless, lain)
    for item, unit in zip(job.items, job.units, strict=True):
        if not item.fits(width - 2 * RIM, limit - 2 * RIM):
            raise PaperError(
                f"it is longer than the {format_mm(limit - 2 * RIM, 0)} of a page that every "
                "reader of PDF shows",
                where=f"piece {unit[0].name}",
                remedy="Use --one-length for a single long page, or --panels to have it in parts.",
            )
    count = math.ceil(needed / limit)
    while True:
        strip = replace(endless, limit=limit, count=count, even=True)
        try:
            lain = lay(job.items, strip, packing, progress)
        except ValueError:
            count += 1
            continue
        return _planned(job, _cut(roll, margin, lain.longest), strip, lain)


def _goes(item: Item, strip: Strip) -> bool:
    return bool(item.fits(strip.width - 2 * RIM, strip.limit - 2 * RIM))


def _refuse_wide(job: _Job, roll: Paper, width: float) -> None:
    """Every piece must lie on the roll in one of its turns."""
    inside = width - 2 * RIM
    for item, unit in zip(job.items, job.units, strict=True):
        least = item.least_width
        if least > inside + 1e-6:
            names = " and ".join(piece.name for piece in unit)
            raise PaperError(
                f"at its narrowest it is {format_mm(least, 0)} ({format_inch(least)}) wide, and "
                f"{roll.name} has {format_mm(math.floor(inside), 0)} for it",
                where=f"piece {names}",
                remedy="Use a wider roll, or --panels, which cuts it into panels to be joined.",
            )


def _cut(roll: Paper, margin: float, window: float) -> PageSetup:
    """A page as long as its window asks for, to the next whole millimetre."""
    around = 2 * (margin + STRIP)
    # A check bar is long enough at least one way.
    least = LEAST_LONG if roll.width - around >= LEAST_BAR else LEAST_BAR
    length = math.ceil(max(window, least) + around - 1e-6)
    return PageSetup(replace(roll, height=float(length)), margin=margin)


def _planned(job: _Job, setup: PageSetup, strip: Strip, lain: Lain) -> Plan:
    grid = arrange(setup, [(1, 1)] * lain.lengths)
    corners = [grid.bounds_of_block(block) for block in grid.blocks]
    at: dict[str, Affine] = {}
    for spot, unit in zip(lain.spots, job.units, strict=True):
        corner = corners[spot.length]
        placed = spot.at.then(Affine.move(corner.left, corner.top))
        at.update({piece.name: placed for piece in unit})
    cells = tuple(Cell(block.row, block.column) for block in grid.blocks)
    left, _, right, top = corners[0]
    return Plan(
        grid,
        tuple(Placement(piece, at[piece.name]) for piece in job.pattern.pieces),
        cells,
        head=Bounds(left, top - strip.head + CLEAR, right, top),
        spent=_spent(job, setup, strip, lain),
    )


def _spent(job: _Job, setup: PageSetup, strip: Strip, lain: Lain) -> Spent:
    simple = shelved(job.items, replace(strip, count=0), job.packing.gap)
    pages = 1 + max(spot.length for spot in simple)
    if setup.paper.roll:
        at = ends(job.items, simple)
        longest = [
            max(end for end, spot in zip(at, simple, strict=True) if spot.length == number)
            for number in sorted({spot.length for spot in simple})
        ]
        naive = sum(_cut(setup.paper, setup.margin, each).height for each in longest)
    else:
        naive = pages * setup.height
    length = lain.lengths * setup.height
    share = job.area / (length * setup.width)
    return Spent(length, naive, pages, share, lain.stopped)
