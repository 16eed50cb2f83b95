"""Where every piece lies: the best of what the ways of laying find."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from tiler.layout.bound import area_bound
from tiler.layout.crowding import fits_page, linked_by_pages
from tiler.layout.ink import moved, shown
from tiler.layout.naive import naive_pages
from tiler.layout.packing.engine import pack
from tiler.layout.packing.options import Packing
from tiler.layout.packing.shape import Shape, shapes_of
from tiler.layout.plan import Placement, Plan, Tally
from tiler.layout.settle import Settled, settle
from tiler.layout.shelves import MOST_PAGES, shelved
from tiler.layout.tiles import Cell, PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Piece

#: Told the fewest pages so far, and the steps done and their total.
Progress = Callable[[int, int, int], None]
#: Parts of the search in which progress is told.
PARTS = 1000


def place(
    pattern: Pattern,
    setups: Sequence[PageSetup],
    packing: Packing | None = None,
    progress: Progress | None = None,
) -> Plan:
    """Lay the pieces on as few pages as can be found.

    Joined pieces are one unit: they keep their places to each other. Where pieces may turn freely,
    lying paper cannot do what standing paper does not, and only the first setup is packed.

    Args:
        pattern: At least one piece; joined ones lie in one coordinate frame.
        setups: The papers that may be used, such as portrait and landscape.
        packing: What is asked of the layout; a quick one without it.
        progress: Called with the fewest pages so far, the steps done and their total.

    Raises:
        PatternError: The sheet would take more pages than anyone can tape.
    """
    packing = packing or Packing(effort="quick")
    units = units_of(pattern)
    shapes = shapes_of(units, groups=_groups(units, pattern))
    chords = [shape.chords for shape in shapes]
    simple = shelved(setups, chords, turn=packing.turn, gap=packing.gap)
    if simple is None:
        raise PatternError(
            f"this pattern would take more than {MOST_PAGES} pages",
            where=pattern.title,
            remedy="Look at its size with 'blocksheet look': is the drawing in the right unit?",
        )
    found = [settle(simple[0], chords, simple[1])]
    stopped = False
    packed_on = setups[:1] if packing.turn else setups
    for number, setup in enumerate(packed_on):
        counter = _Counter(progress, number, len(packed_on))
        packed = pack(shapes, setup.pitch, _window(setup), packing, counter.tell)
        found.append(settle(setup, chords, packed.at))
        stopped = stopped or packed.stopped
        if stopped:
            break
    kept = [settled for settled in found if _keeps(settled, shapes, packing)] or found[1:]
    best = min(kept, key=lambda settled: settled.cost)
    at = {piece.name: placed for unit, placed in zip(units, best.at, strict=True) for piece in unit}
    placements = tuple(Placement(piece, at[piece.name]) for piece in pattern.pieces)
    split = _split(best, shapes) if packing.small_whole else []
    tally = Tally(
        bound=area_bound(units, setups[0]),
        naive=naive_pages(units, setups[0]),
        stopped=stopped,
        split=tuple(piece.name for number in split for piece in units[number]),
    )
    return Plan(best.grid, placements, best.cells, tally)


@dataclass(frozen=True)
class _Counter:
    """Joins the searches on several setups into one count."""

    progress: Progress | None
    number: int
    total: int

    def tell(self, pages: int, share: float) -> None:
        """Pass on the best of one search and how far it is."""
        if self.progress:
            done = (self.number + min(share, 1.0)) / self.total
            self.progress(pages, round(done * PARTS), PARTS)


def _window(setup: PageSetup) -> tuple[float, float]:
    return setup.window.width, setup.window.height


def _groups(units: Sequence[Sequence[Piece]], pattern: Pattern) -> tuple[int, ...]:
    """For each unit the number of the group that is kept together, or -1.

    Groups that have a unit in common are one.
    """
    named = [{piece.name for piece in unit} for unit in units]
    group = list(range(len(units)))
    grouped = [False] * len(units)
    for names in pattern.together:
        members = [k for k, unit in enumerate(named) if unit & set(names)]
        if len(members) > 1:
            old = {group[k] for k in members}
            group = [min(old) if g in old else g for g in group]
            for k in members:
                grouped[k] = True
    return tuple(g if there else -1 for g, there in zip(group, grouped, strict=True))


def _keeps(settled: Settled, shapes: Sequence[Shape], packing: Packing) -> bool:
    """Whether a layout does what is asked beside taking few pages."""
    groups: dict[int, list[frozenset[Cell]]] = {}
    for shape, cells in zip(shapes, _pages(settled, shapes), strict=True):
        if shape.group >= 0:
            groups.setdefault(shape.group, []).append(cells)
    together = all(linked_by_pages(members) for members in groups.values())
    return together and not (packing.small_whole and _split(settled, shapes))


def _split(settled: Settled, shapes: Sequence[Shape]) -> list[int]:
    """The units that lie over a joint though they would fit on one page as they are turned."""
    return [
        shape.index
        for (shape, at), cells in zip(_pairs(settled, shapes), _pages(settled, shapes), strict=True)
        if len(cells) > 1 and fits_page(moved(shape.chords, at), settled.grid.setup)
    ]


def _pages(settled: Settled, shapes: Sequence[Shape]) -> list[frozenset[Cell]]:
    return [
        frozenset(shown(settled.grid, settled.cells, moved(shape.chords, at)))
        for shape, at in _pairs(settled, shapes)
    ]


def _pairs(settled: Settled, shapes: Sequence[Shape]) -> Iterator[tuple[Shape, Affine]]:
    return zip(shapes, settled.at, strict=True)
