"""Which windows show a whole pattern on a mat."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from tiler.layout.mats.stepping import Window, stepped
from tiler.layout.mats.turning import Laid
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Piece

#: Free cloth between pieces that are shown together, mm.
GAP = 10.0


@dataclass(frozen=True)
class Series:
    """What is shown on one cloth that is shifted from window to window.

    Args:
        laid: A long unit alone, or small ones together.
        windows: In the order in which they are shown.
    """

    laid: tuple[Laid, ...]
    windows: tuple[Window, ...]

    @property
    def name(self) -> str:
        """The names of all that it shows."""
        return ", ".join(each.name for each in self.laid)


@dataclass
class _Shelf:
    """Units side by side; `across` and `height` are what they take, mm."""

    laid: list[Laid]
    across: float
    height: float


def series_of(
    laid: Sequence[Laid],
    field: Bounds,
    *,
    one_by_one: bool = False,
    alone: Collection[str] = (),
) -> list[Series]:
    """The windows for all units, in the order of the first piece of each series.

    Units that fit are laid together on shelves, the tallest first: each on the first shelf, in the
    first window, that has room for it.

    Args:
        laid: Every unit, its box at the origin.
        field: The part of the mat that shows pieces, mm.
        one_by_one: Whether each unit gets windows of its own.
        alone: Names of units that do so in any case.
    """
    order = {each.pieces[0].name: number for number, each in enumerate(laid)}
    small = [
        each
        for each in laid
        if not one_by_one and each.name not in alone and len(stepped(each.box, field)) == 1
    ]
    found = [
        Series((each,), stepped(each.box, field))
        for each in laid
        if not any(each is other for other in small)
    ]
    for shelves in _shelved(small, field):
        units = [each for shelf in shelves for each in shelf.laid]
        units.sort(key=lambda each: order[each.pieces[0].name])
        found.append(Series(tuple(units), stepped(bounds_of([u.box for u in units]), field)))
    return sorted(found, key=lambda series: order[series.laid[0].pieces[0].name])


def _shelved(small: Sequence[Laid], field: Bounds) -> list[list[_Shelf]]:
    pages: list[list[_Shelf]] = []
    for each in sorted(small, key=lambda unit: -unit.box.height):
        if not any(_put(each, shelves, field) for shelves in pages):
            pages.append([_Shelf([each], each.box.width, each.box.height)])
    return pages


def _put(each: Laid, shelves: list[_Shelf], field: Bounds) -> bool:
    """Lay a unit on the first shelf with room, or on a new one above; False where there is none."""
    below = 0.0
    for shelf in shelves:
        across = shelf.across + GAP
        # Shelves are begun by their tallest unit.
        if across + each.box.width <= field.width and each.box.height <= shelf.height:
            shelf.laid.append(each.shifted(across, below))
            shelf.across = across + each.box.width
            return True
        below += shelf.height + GAP
    if below + each.box.height > field.height:
        return False
    shelves.append(_Shelf([each.shifted(0.0, below)], each.box.width, each.box.height))
    return True


@dataclass(frozen=True)
class Shown:
    """Where a piece lies in a window; `at` takes its millimetres to those of the mat."""

    piece: Piece
    at: Affine


def to_mat(window: Window, field: Bounds) -> Affine:
    """The shift from the cloth to the mat while a window is shown."""
    return Affine.move(field.left - window.lies.left, field.bottom - window.lies.bottom)


def shown_in(series: Series, window: Window, field: Bounds) -> tuple[Shown, ...]:
    """The pieces of a series on the mat; some may lie outside of what it shows."""
    by = to_mat(window, field)
    return tuple(Shown(p, each.at.then(by)) for each in series.laid for p in each.pieces)


def regrouped(laid: Laid, box: Bounds) -> Laid:
    """The same unit with more room, its box at the origin again."""
    grown = replace(laid, box=laid.box.joined(box))
    return grown.shifted(-grown.box.left, -grown.box.bottom)
