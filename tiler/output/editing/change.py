"""What every change of a pattern file can do."""

from __future__ import annotations

from abc import ABC, abstractmethod
from typing import TYPE_CHECKING, Any

from tiler.output.editing.document import Document
from tiler.output.editing.label import Label
from tiler.output.editing.nodes import Path
from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern


class Change(ABC):
    """One thing that is to be different; its fields are as they are written in the file."""

    __slots__ = ()

    @property
    @abstractmethod
    def label(self) -> Label:
        """What it does, in a few words."""

    @abstractmethod
    def done(self, doc: Document) -> Document:
        """The file with the change in it, all else as it was written.

        Raises:
            PatternError: What it is about is not there.
        """

    def moved(self, base: Document, now: Document) -> Change | None:
        """The same change for a file that has changed in between.

        Args:
            base: The file that the change was thought of for.
            now: The file that it is to be done to.

        Returns:
            None when what it is about is no longer there.
        """
        return self

    def refuse_unmet(self, pattern: Pattern) -> None:
        """See that the changed pattern is what was meant; most changes cannot fail in this.

        Raises:
            PatternError: It is not, because the drawing says otherwise.
        """
        return


def piece_path(doc: Document, name: str) -> Path:
    """Where a piece stands.

    Raises:
        PatternError: There is no such piece.
    """
    pieces = doc.data.get("piece")
    for number, piece in enumerate(pieces if isinstance(pieces, list) else ()):
        found = piece.get("name") if isinstance(piece, dict) else None
        if isinstance(found, str) and " ".join(found.split()) == name:
            return ("piece", number)
    raise PatternError(f'there is no piece "{name}"', remedy="Open the pattern again.")


def piece_in(doc: Document, name: str) -> dict[str, Any]:
    """What the file says of a piece.

    Raises:
        PatternError: There is no such piece.
    """
    found: dict[str, Any] = doc.value(piece_path(doc, name))
    return found


def key_of(table: object, letter: str) -> str:
    """How a table spells the letter of an edge; the letter itself when it does not have it."""
    if isinstance(table, dict):
        for key in table:
            if isinstance(key, str) and key.strip().upper() == letter:
                return key
    return letter
