"""Where in a TOML file a key stands, for messages: the parser itself does not tell."""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass, field

_PART = r"""(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')"""
_HEADER = re.compile(
    rf"\s*(?P<open>\[\[?)\s*(?P<name>{_PART}(?:\s*\.\s*{_PART})*)\s*\]\]?\s*(?:#.*)?"
)


@dataclass(frozen=True, slots=True)
class _Block:
    """The lines from one header to the next; numbers count from 1."""

    name: str
    many: bool
    first: int
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TomlPlaces:
    """Line numbers of the keys of one TOML file.

    The search reads the lines as a person would. Where it finds none or more than one (a long
    string may hold lines that look like keys), it says nothing rather than something wrong.

    Args:
        file: The file's name.
        blocks: The file, cut at its headers.
        named: Name of a table -> indexes of its blocks.
        known: What was found before: a file of thousands of tables is asked thousands of times.
    """

    file: str
    blocks: tuple[_Block, ...]
    named: dict[str, list[int]] = field(compare=False, repr=False)
    known: dict[tuple[str, str, int, int], int | None] = field(
        default_factory=dict, compare=False, repr=False
    )

    @classmethod
    def of(cls, file: str, text: str) -> TomlPlaces:
        """Cut a file at its ``[table]`` and ``[[table]]`` headers."""
        blocks: list[_Block] = []
        name, many, first, lines = "", False, 1, list[str]()
        for number, line in enumerate(text.splitlines(), start=1):
            header = _HEADER.fullmatch(line)
            if header is None:
                lines.append(line)
                continue
            blocks.append(_Block(name, many, first, tuple(lines)))
            name, many = header["name"], header["open"] == "[["
            first, lines = number, [""]
        blocks.append(_Block(name, many, first, tuple(lines)))
        named: dict[str, list[int]] = {}
        for index, block in enumerate(blocks):
            named.setdefault(block.name, []).append(index)
        return cls(file, tuple(blocks), named)

    def line(self, table: str, key: str, nth: int = 0, total: int = 1) -> int | None:
        """The line on which a key stands, or None when the search is not sure.

        Args:
            table: Name of the table; empty for the top of the file.
            key: The key; empty for the table's header.
            nth: Which of the tables of that name, from 0.
            total: How many of them the parser found.
        """
        question = (table, key, nth, total)
        if question not in self.known:
            self.known[question] = self._line(*question)
        return self.known[question]

    def _line(self, table: str, key: str, nth: int, total: int) -> int | None:
        starts = self.named.get(table, [])
        if len(starts) != total:
            return None
        block = self.blocks[starts[nth]]
        if not key:
            return block.first
        found = _lines_of(block, key)
        # A table below this one, as in [piece.names], stands for the key `names`.
        found += [below.first for below in self._below(table, key, starts, nth)]
        return found[0] if len(found) == 1 else None

    def entries(
        self, table: str, key: str, count: int, nth: int = 0, total: int = 1
    ) -> list[int | None]:
        """The lines on which the tables in a list begin.

        They stand under headers of their own (``[[piece.notches]]``), or on lines of their own in
        brackets; else the line of the key has to do for each.

        Args:
            table: Name of the table that holds the list; empty for the top of the file.
            key: The key of the list.
            count: How many tables the parser found in it.
            nth: Which of the tables of that name, from 0.
            total: How many of them the parser found.
        """
        starts = self.named.get(table, [])
        if len(starts) != total:
            return [None] * count
        headers = [below.first for below in self._below(table, key, starts, nth)]
        if len(headers) == count:
            return [*headers]
        line = self.line(table, key, nth, total)
        if line is None:
            return [None] * count
        block = self.blocks[starts[nth]]
        begun: list[int | None] = []
        for number in range(line + 1, block.first + len(block.lines)):
            words = block.lines[number - block.first].lstrip()
            if words.startswith("]"):
                break
            if words.startswith("{"):
                begun.append(number)
        return begun if len(begun) == count else [line] * count

    def within(self, first: int, key: str) -> int:
        """The line of a key in the table that begins on a line; that line when not found."""
        # The blocks stand in the order of their lines.
        index = bisect_left(self.blocks, first, key=_first_line)
        block = self.blocks[index] if index < len(self.blocks) else None
        here = block is not None and block.first == first and block.name
        found = _lines_of(block, key) if here and block and key else []
        return found[0] if len(found) == 1 else first

    def _below(self, table: str, key: str, starts: list[int], nth: int) -> list[_Block]:
        """The blocks with the name of a key of one table."""
        stop = starts[nth + 1] if nth + 1 < len(starts) else len(self.blocks)
        name = f"{table}.{key}" if table else key
        return [below for below in self.blocks[starts[nth] + 1 : stop] if below.name == name]


def _first_line(block: _Block) -> int:
    return block.first


def _lines_of(block: _Block, key: str) -> list[int]:
    pattern = re.compile(rf"""\s*(["']?){re.escape(key)}\1\s*[.=].*""")
    lines = enumerate(block.lines, start=block.first)
    return [number for number, line in lines if pattern.fullmatch(line)]
