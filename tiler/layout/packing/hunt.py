"""One search from its start to arrangements in millimetres."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from tiler.layout.packing.ease import eased
from tiler.layout.packing.exact import inked_cells, pages_of
from tiler.layout.packing.options import Packing
from tiler.layout.packing.search import Layout, Search
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.stamps import Attempt, finer, stamped
from tiler.pattern.affine import Affine

#: Steps (of about a microsecond) that each of the searches of an effort may take.
BUDGET = {"quick": 0.5e6, "normal": 8.5e6, "long": 85e6}
#: Steps that drawing a unit in one turn takes.
_DRAWING = 5_000
#: Pages that the units may fill for it to be worth while to press them on to fewer: on a larger
#: canvas a step of that takes long, and annealing alone comes upon fewer pages.
_PRESSED_PAGES = 30.0
#: Steps that it takes a quick search to hold an arrangement against millimetres; the others hold
#: few, late ones, and count what it takes for each unit.
_HOLDING = 15_000
#: Share of the budget for larger ones, whose steps take longer than is counted.
_LARGE = 0.75
#: How boldly the searches draw the units in pixels at first, in turn; see `Attempt`.
_BOLD = (0.4, 0.3)
#: Other ways to draw them, until one leads to an arrangement.
_CAREFUL = (Attempt(roomier=2), Attempt(roomier=4, strict=False))
#: How many searches there are: the first two seeds of an effort.
SEARCHES = {"quick": 1, "normal": 2, "long": 2}


@dataclass(frozen=True)
class Task:
    """What is to be packed: units, pitch, what outer pages show beyond it, and what is asked."""

    shapes: tuple[Shape, ...]
    pitch: tuple[float, float]
    past: tuple[float, float]
    packing: Packing


@dataclass(frozen=True)
class Found:
    """An arrangement.

    Args:
        at: Unit -> canvas millimetres.
        pages: Cells that are printed.
        cost: What it is compared by: pages, then waste.
    """

    at: tuple[Affine, ...]
    pages: int
    cost: tuple[float, ...]


#: Told a better arrangement or None, and the share of the work that is done.
Tell = Callable[[Found | None, float], None]


def hunt(task: Task, number: int, tell: Tell) -> Found:
    """The best arrangement of one search.

    Args:
        task: What is to be packed.
        number: Which of the searches, from 0.
        tell: Called for each better arrangement, and often in between.
    """
    effort, least = task.packing.effort, _least_pages(task)
    for attempt in (Attempt(_BOLD[number % 2]), *_CAREFUL):
        lattice, stamps = stamped(task.shapes, task.pitch, task.past, task.packing, attempt)
        best: list[Found] = []

        def report(layout: Layout | None, share: float) -> bool:
            found = _found(task, layout, search) if layout else None  # noqa: B023
            if found and (not best or found.cost < best[0].cost):  # noqa: B023
                best[:] = [found]  # noqa: B023
            tell(found, share)
            return found is not None

        search = Search(
            task.shapes,
            lattice,
            stamps,
            seed=task.packing.seed * 1000 + number,
            budget=_budget(task, sum(len(each) for each in stamps)),
            report=report,
            holding=_HOLDING if effort == "quick" else 10_000 + 5_000 * len(task.shapes),
            finer=finer(task.shapes, task.past, task.packing, attempt, lattice, stamps)
            if effort != "quick" and _area(task) <= _PRESSED_PAGES
            else None,
        )
        if search.run(least) is not None and best:
            return best[0]
    raise ValueError("units that are kept together do not go on pages in the way that is asked")


def _budget(task: Task, drawn: int) -> float:
    """Steps for a search once its stamps are drawn: at least half of what the effort allows."""
    whole = BUDGET[task.packing.effort] * _share(task)
    return max(whole / 2, whole - _DRAWING * drawn)


def _share(task: Task) -> float:
    large = task.packing.effort != "quick" and _area(task) > _PRESSED_PAGES
    return _LARGE if large else 1.0


def _area(task: Task) -> float:
    """Pages that the units fill."""
    across, down = task.pitch
    return sum(shape.area for shape in task.shapes) / (across * down)


def _least_pages(task: Task) -> int:
    """Fewer pages than this no arrangement has."""
    wide, high = (task.pitch[k] + 2 * task.past[k] for k in (0, 1))
    for shape in task.shapes:
        left, bottom, right, top = shape.body.bounds
        # In the middle of such a unit there may be pages without ink.
        if math.hypot(right - left, top - bottom) > 2 * min(wide, high) + min(wide, high):
            return 1
    return max(1, math.ceil(sum(shape.area for shape in task.shapes) / (wide * high) - 1e-9))


def _found(task: Task, layout: Layout, search: Search) -> Found | None:
    """The arrangement in millimetres; None where it does not keep the gap after all."""
    lattice = search.finer[0] if layout.level and search.finer else search.lattice
    width, height = lattice.pixel
    at = []
    for unit, spot in enumerate(layout.spots):
        move = Affine.move(spot.column * width, spot.row * height)
        at.append(search.stamp_at(layout, unit).at.then(move))
    apart = eased(task.shapes, at, task.pitch, task.past, task.packing.gap)
    if apart is None:
        return None
    pages = pages_of(inked_cells(task.shapes, apart, task.pitch, task.past))
    return Found(apart, pages, (pages, round(layout.score, 6)))
