"""A pattern file as it is written, and where its values stand."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from tiler.intake.patternfile import PATTERN_FILE, parsed_file
from tiler.output.editing.nodes import Kind, Node, Path, Section, Statement
from tiler.output.editing.scan import sections_of
from tiler.pattern.errors import FileError

_MARK = "\ufeff"


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a value stands.

    Args:
        section: In which section.
        statement: In which line of it.
        node: The value itself.
        holders: The lists and tables in braces that it lies in, from the outside in, each with
            the number of its entry.
    """

    section: Section
    statement: Statement
    node: Node
    holders: tuple[tuple[Node, int], ...]


@dataclass(frozen=True)
class Document:
    """The text of a pattern file, which a TOML parser can read.

    Args:
        text: Without the mark of byte order.
        marked: Whether the mark of byte order stands before it.
    """

    text: str
    marked: bool = False

    @classmethod
    def of(cls, content: bytes) -> Document:
        """The document in a file's bytes.

        Raises:
            FileError: They are no UTF-8, or no TOML.
        """
        text, data = parsed_file(content, PATTERN_FILE)
        found = cls(text, content.startswith(_MARK.encode()))
        found.__dict__["data"] = data
        return found

    @property
    def content(self) -> bytes:
        """The bytes of the file.

        Raises:
            FileError: A text holds halves of letters.
        """
        try:
            return f"{_MARK if self.marked else ''}{self.text}".encode()
        except UnicodeEncodeError:
            raise FileError(
                "a name or text holds letters that are no text", remedy="Write it again."
            ) from None

    @cached_property
    def data(self) -> dict[str, Any]:
        """What a parser finds in it."""
        return tomllib.loads(self.text)

    @cached_property
    def sections(self) -> tuple[Section, ...]:
        """The file, cut at its headers."""
        return sections_of(self.text)

    @property
    def newline(self) -> str:
        """How its lines end: as the first of them does."""
        first = self.text.find("\n")
        return "\r\n" if first > 0 and self.text[first - 1] == "\r" else "\n"

    def value(self, path: Path) -> Any:
        """What stands under a path; None for nothing."""
        found: Any = self.data
        for part in path:
            if isinstance(part, int):
                if not isinstance(found, list) or not 0 <= part < len(found):
                    return None
            elif not isinstance(found, dict) or part not in found:
                return None
            found = found[part]
        return found

    def spot(self, path: Path) -> Spot | None:
        """Where a value stands; None when it is nowhere, or spread over several lines."""
        for section in self.sections:
            for line in section.statements:
                whole = (*section.path, *line.key)
                if path[: len(whole)] == whole:
                    return _within(Spot(section, line, line.value, ()), path[len(whole) :])
        return None

    def section(self, path: Path) -> Section | None:
        """The section whose header names a table."""
        return next((each for each in self.sections if each.path == path), None)

    def sections_below(self, path: Path) -> list[Section]:
        """The sections of a table and of the tables in it."""
        return [each for each in self.sections if each.path[: len(path)] == path]

    def dotted(self, path: Path) -> Iterator[tuple[Section, Statement]]:
        """Lines such as ``cut.count = 1``, which say something of a table by its name."""
        for section in self.sections:
            for line in section.statements:
                whole = (*section.path, *line.key)
                if len(section.path) < len(path) < len(whole) and whole[: len(path)] == path:
                    yield section, line

    def replaced(self, start: int, end: int, text: str) -> Document:
        """With other text from one place to another; line ends become those of the file."""
        if self.newline != "\n":
            text = text.replace("\r\n", "\n").replace("\n", self.newline)
        return Document(f"{self.text[:start]}{text}{self.text[end:]}", self.marked)

    def line_start(self, at: int) -> int:
        """Where the line of a place begins."""
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """Behind the end of the line of a place."""
        found = self.text.find("\n", at)
        return len(self.text) if found < 0 else found + 1


def _within(spot: Spot, rest: Path) -> Spot | None:
    if not rest:
        return spot
    node = spot.node
    for number, entry in enumerate(node.entries):
        if node.kind is Kind.ARRAY:
            if rest[0] != number:
                continue
            taken = 1
        elif entry.key == rest[: len(entry.key)]:
            taken = len(entry.key)
        else:
            continue
        inner = (*spot.holders, (node, number))
        return _within(Spot(spot.section, spot.statement, entry.value, inner), rest[taken:])
    return None
