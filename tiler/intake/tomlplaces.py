"""Where in a TOML file a key stands, for messages: the parser itself does not tell."""

from __future__ import annotations

import re
from dataclasses import dataclass

_HEADER = re.compile(r"\s*(?P<open>\[\[?)\s*(?P<name>[^\[\]]+?)\s*\]\]?\s*(?:#.*)?")


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
    """

    file: str
    blocks: tuple[_Block, ...]

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
        return cls(file, tuple(blocks))

    def line(self, table: str, key: str, nth: int = 0, total: int = 1) -> int | None:
        """The line on which a key stands, or None when the search is not sure.

        Args:
            table: Name of the table; empty for the top of the file.
            key: The key; empty for the table's header.
            nth: Which of the tables of that name, from 0.
            total: How many of them the parser found.
        """
        starts = [i for i, block in enumerate(self.blocks) if block.name == table]
        if len(starts) != total:
            return None
        block = self.blocks[starts[nth]]
        if not key:
            return block.first
        pattern = re.compile(rf"""\s*(["']?){re.escape(key)}\1\s*[.=].*""")
        found = [
            block.first + offset
            for offset, line in enumerate(block.lines)
            if pattern.fullmatch(line)
        ]
        # A table below this one, as in [piece.names], stands for the key `names`.
        stop = starts[nth + 1] if nth + 1 < total else len(self.blocks)
        found += [
            below.first
            for below in self.blocks[starts[nth] + 1 : stop]
            if below.name == (f"{table}.{key}" if table else key)
        ]
        return found[0] if len(found) == 1 else None
