"""Several changes that are done, and undone, as one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.output.editing.change import Change
from tiler.output.editing.document import Document
from tiler.output.editing.label import Label

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern


@dataclass(frozen=True, slots=True)
class Several(Change):
    """Changes that were asked for at once.

    Args:
        about: What they are about: a piece, an edge; empty for the pattern.
        changes: At least one.
    """

    about: str
    changes: tuple[Change, ...]

    @property
    def label(self) -> Label:
        if len(self.changes) == 1:
            return self.changes[0].label
        key = "several" if self.about else "several_whole"
        facts = {"about": self.about} if self.about else {}
        return Label.of(key, **facts, number=len(self.changes))

    def done(self, doc: Document) -> Document:
        for change in self.changes:
            doc = change.done(doc)
        return doc

    def moved(self, base: Document, now: Document) -> Several | None:
        moved = [change.moved(base, now) for change in self.changes]
        if any(change is None for change in moved):
            return None
        return Several(self.about, tuple(change for change in moved if change))

    def refuse_unmet(self, pattern: Pattern) -> None:
        for change in self.changes:
            change.refuse_unmet(pattern)
