"""Where things stand in the text of a TOML file: offsets of letters, from 0."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

#: Names of tables and keys, and numbers of entries in a list, from the top of the file.
Path = tuple[str | int, ...]


class Kind(Enum):
    """What a value is."""

    ATOM = "atom"
    ARRAY = "array"
    TABLE = "table"


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list or of a table in braces.

    Args:
        key: The parts of its key; empty in a list.
        start: Where the key begins, or the value in a list.
        value: Its value.
        comma: Where the comma behind it stands; -1 when there is none.
    """

    key: tuple[str, ...]
    start: int
    value: Node
    comma: int


@dataclass(frozen=True, slots=True)
class Node:
    """A value.

    Args:
        kind: What it is.
        start: Where it begins.
        end: Behind its last letter.
        entries: Those of a list or of a table in braces.
    """

    kind: Kind
    start: int
    end: int
    entries: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Statement:
    """A key with its value, on lines of its own.

    Args:
        key: The parts of the key; several for a dotted one.
        start: Where its first line begins.
        value: Its value.
        comment: Where the remark behind the value begins; -1 when there is none.
        end: Behind the end of its last line.
    """

    key: tuple[str, ...]
    start: int
    value: Node
    comment: int
    end: int


@dataclass(frozen=True, slots=True)
class Section:
    """What stands from one header to the next.

    Args:
        path: Of its table, with the numbers of tables in lists; empty for the top of the file.
        many: Whether the header stands in double brackets.
        start: Where the header's line begins.
        body: Behind the header's line.
        end: Where the next header's line begins, or the end of the file.
        statements: In the order of the file.
    """

    path: Path
    many: bool
    start: int
    body: int
    end: int
    statements: tuple[Statement, ...]

    @property
    def last(self) -> int:
        """Behind the last line that says something."""
        return self.statements[-1].end if self.statements else self.body
