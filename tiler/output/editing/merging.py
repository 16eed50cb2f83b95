"""A change that was thought of for one version of a file, done to another."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.output.editing.cells import Cell, cells, place_of, theirs_and_mine
from tiler.output.editing.change import Change
from tiler.output.editing.document import Document
from tiler.pattern.errors import BlocksheetError, PatternError


class ConflictError(BlocksheetError):
    """What a change touches has been changed by somebody else in between.

    Args:
        place: Where: a piece and an edge, or a key.
        mine: What was to stand there, as it is written.
        theirs: What stands there now; empty for nothing.
    """

    def __init__(self, place: str, mine: str = "", theirs: str = "") -> None:
        self.place, self.mine, self.theirs = place, mine, theirs
        says = f'it says "{theirs}" now' if theirs else "it says nothing now"
        wants = f'you wanted "{mine}"' if mine else "you wanted nothing there"
        told = f"{says}; {wants}" if mine or theirs else "it was changed since you saw it"
        super().__init__(
            told,
            where=place,
            remedy="It was changed elsewhere in between. Nothing was written; choose one.",
        )

    def within(self, place: str) -> ConflictError:
        """The same, told from one level further out."""
        return type(self)(f"{place}, {self.place}", self.mine, self.theirs)


@dataclass(frozen=True, slots=True)
class _Touched:
    base: dict[Cell, object]
    now: dict[Cell, object]
    mine: dict[Cell, object]

    @property
    def cells(self) -> list[Cell]:
        both = dict.fromkeys((*self.base, *self.mine))
        return [cell for cell in both if self.base.get(cell) != self.mine.get(cell)]


def merged(change: Change, base: Document, now: Document) -> Document:
    """Do a change to a file that has changed since, when what it touches is as it was.

    Args:
        change: What is to be different.
        base: The file that it was thought of for.
        now: The file as it is.

    Returns:
        The file with the change in it; the file as it is when it says so already.

    Raises:
        ConflictError: What the change touches says something else now, or is gone.
        PatternError: The change makes no sense in the file that it was thought of for.
    """
    touched = _Touched(cells(base.data), cells(now.data), cells(change.done(base).data))
    changed = touched.cells
    for cell in changed:
        piece = cell[:2] if cell[0] == "piece" else ()
        if piece in touched.base and piece not in touched.now and piece not in changed:
            raise ConflictError(place_of(piece), str(change.label), "")
    if changed and all(touched.now.get(cell) == touched.mine.get(cell) for cell in changed):
        return now
    for cell in changed:
        if touched.now.get(cell) != touched.base.get(cell):
            theirs, mine = theirs_and_mine(cell, touched.base, touched.now, touched.mine)
            raise ConflictError(place_of(cell), mine, theirs)
    try:
        moved = change.moved(base, now)
        if moved is not None:
            return moved.done(now)
    except PatternError as gone:
        raise ConflictError(gone.where or "pattern.toml", str(change.label), "") from gone
    raise ConflictError("pattern.toml", str(change.label), "")
