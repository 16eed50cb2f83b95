"""Packing: the way from units to their turns and places."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from tiler.layout.packing.ease import keeps_apart
from tiler.layout.packing.exact import Place, inked_cells, pages_of
from tiler.layout.packing.hunt import BUDGET, Found, Task, Tell
from tiler.layout.packing.options import EFFORTS, Packing
from tiler.layout.packing.polish import polished
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.workers import hunted
from tiler.pattern.affine import Affine
from tiler.pattern.errors import Terminated

#: Told the pages of the best arrangement so far, and the share of the work that is done.
Progress = Callable[[int, float], None]
#: What stays free between ink and the edge of a window, millimetres.
_RIM = 1.0


@dataclass(frozen=True)
class Packed:
    """Units on an unbounded grid of cells.

    Units that share a cell, directly or through others, are one sheet and keep their distance.
    Units of different sheets may be nearer on the canvas: their pages are not taped together.

    Args:
        at: Unit -> canvas millimetres, for each unit; cell (i, j) reaches from i and j pitches to
            one more.
        cells: The cells (column, row upwards) of each unit: those with its ink, and blank ones
            that its sheet needs to hang together.
        pages: Cells of all units together.
        stopped: Whether the search was interrupted.
    """

    at: tuple[Affine, ...]
    cells: tuple[frozenset[Place], ...]
    pages: int
    stopped: bool = False


def pack(
    shapes: Sequence[Shape],
    pitch: tuple[float, float],
    window: tuple[float, float],
    packing: Packing,
    progress: Progress | None = None,
) -> Packed:
    """Lay units on as few cells as can be found.

    The result depends on nothing but the arguments: not on the machine, its speed or its cores.

    Args:
        shapes: At least one unit.
        pitch: Millimetres from page to page, across and up.
        window: Width and height of a page's pattern window, millimetres; at least the pitch.
        packing: What is asked.
        progress: Called several times a second with the best number of pages so far and the share
            of the work that is done.

    Raises:
        KeyboardInterrupt: Before a first arrangement was found. Later on an interrupt ends the
            search, and the best arrangement is returned as `stopped`.
    """
    past = tuple(max(0.0, (window[k] - pitch[k]) / 2 - _RIM) for k in (0, 1))
    task = Task(tuple(shapes), pitch, (past[0], past[1]), packing)
    best: Found | None = None
    stopped = False

    def better(found: Found | None, share: float) -> None:
        nonlocal best
        if found is not None and (best is None or found.cost < best.cost):
            best = found
        if progress and best is not None:
            progress(best.pages, share)

    try:
        best = _hunted(task, better)
    except KeyboardInterrupt as wish:
        if best is None or isinstance(wish, Terminated):
            raise
        stopped = True
    at = best.at if stopped else _finished(task, best)
    cells = tuple(inked_cells(shapes, at, pitch, task.past))
    return Packed(at, cells, pages_of(cells), stopped)


def _hunted(task: Task, tell: Tell) -> Found:
    """The best arrangement of all efforts up to the one that is asked.

    A longer search is another search, and now and then a shorter one has the better luck: as its
    steps are few beside the longer one's, more effort never gives more pages.
    """
    upto = EFFORTS[: EFFORTS.index(task.packing.effort) + 1]
    total = sum(BUDGET[effort] for effort in upto)
    before, results = 0.0, []
    for effort in upto:
        steps = BUDGET[effort]

        def told(
            found: Found | None, share: float, before: float = before, steps: float = steps
        ) -> None:
            tell(found, (before + share * steps) / total)

        results.append(hunted(replace(task, packing=replace(task.packing, effort=effort)), told))
        before += steps
    return min(results, key=lambda found: found.cost)


def _finished(task: Task, best: Found) -> tuple[Affine, ...]:
    """The arrangement off the joints, where that keeps its pages."""
    at = polished(task.shapes, best.at, task.pitch, task.past, task.packing)
    pages = pages_of(inked_cells(task.shapes, at, task.pitch, task.past))
    good = keeps_apart(task.shapes, at, task.pitch, task.past, task.packing.gap)
    return at if good and pages <= best.pages else best.at
