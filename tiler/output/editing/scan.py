"""The text of a TOML file -> where its headers, keys and values stand.

Python's own parser has read the file before, so that what is met here is TOML; the grammar is that
of TOML 1.0. Parsers give values and forget where they stood; tomlkit, which does not, puts a new
key below the remark that stands before the next table, where it is no longer that table's.
"""

from __future__ import annotations

import re
import tomllib

from tiler.output.editing.nodes import Entry, Kind, Node, Path, Section, Statement

_SPACE = re.compile(r"[ \t]*")
#: What may stand between the entries of a list: spaces, line ends and remarks.
_LOOSE = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_LINE_END = re.compile(r"[^\n]*(?:\n|\Z)")
_BARE = re.compile(r"[^\s,\]}#=]+(?: \d[^\s,\]}#]*)?")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRINGS = (
    re.compile(r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})', re.DOTALL),
    re.compile(r"'''.*?'''(?:'{0,2})", re.DOTALL),
    re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    re.compile(r"'[^'\n]*'"),
)


def sections_of(text: str) -> tuple[Section, ...]:
    """Cut a file at its headers.

    Args:
        text: TOML that a parser has read; without the mark of byte order.
    """
    return _Scan(text).sections()


class _Scan:
    def __init__(self, text: str) -> None:
        self._text = text
        self._at = 0
        self._counts: dict[Path, int] = {}

    def sections(self) -> tuple[Section, ...]:
        text = self._text
        found: list[Section] = []
        path: Path = ()
        many, start, body = False, 0, 0
        statements: list[Statement] = []
        while self._at < len(text):
            line = self._at
            self._skip(_SPACE)
            first = text[self._at : self._at + 1]
            if first == "[":
                found.append(Section(path, many, start, body, line, tuple(statements)))
                many = text.startswith("[[", self._at)
                path = self._header(many)
                start, body, statements = line, self._at, []
            elif first in ("#", "\r", "\n", ""):
                self._skip(_LINE_END)
            else:
                statements.append(self._statement(line))
        found.append(Section(path, many, start, body, len(text), tuple(statements)))
        return tuple(found)

    def _header(self, many: bool) -> Path:
        self._at += 2 if many else 1
        parts = self._key()
        self._skip(_LINE_END)
        path: Path = ()
        for part in parts[:-1]:
            path = (*path, part)
            if path in self._counts:
                path = (*path, self._counts[path])
        path = (*path, parts[-1])
        if not many:
            return path
        self._counts[path] = self._counts.get(path, -1) + 1
        return (*path, self._counts[path])

    def _statement(self, line: int) -> Statement:
        key = self._key()
        value = self._after_sign()
        self._skip(_SPACE)
        comment = self._at if self._text.startswith("#", self._at) else -1
        self._skip(_LINE_END)
        return Statement(key, line, value, comment, self._at)

    def _after_sign(self) -> Node:
        self._skip(_SPACE)
        self._at += 1
        self._skip(_SPACE)
        return self._value()

    def _key(self) -> tuple[str, ...]:
        parts: list[str] = []
        while True:
            self._skip(_SPACE)
            bare = _BARE_KEY.match(self._text, self._at)
            if bare:
                parts.append(bare[0])
                self._at = bare.end()
            else:
                begin = self._at
                self._string()
                parts.append(_plain(self._text[begin : self._at]))
            self._skip(_SPACE)
            if not self._text.startswith(".", self._at):
                return tuple(parts)
            self._at += 1

    def _value(self) -> Node:
        first = self._text[self._at]
        if first == "[":
            return self._entries(Kind.ARRAY, "]")
        if first == "{":
            return self._entries(Kind.TABLE, "}")
        begin = self._at
        if first in "\"'":
            self._string()
        else:
            self._skip(_BARE)
        return Node(Kind.ATOM, begin, self._at)

    def _entries(self, kind: Kind, closing: str) -> Node:
        begin = self._at
        self._at += 1
        entries: list[Entry] = []
        while True:
            self._skip(_LOOSE)
            if self._text.startswith(closing, self._at):
                self._at += 1
                return Node(kind, begin, self._at, tuple(entries))
            start = self._at
            key = self._key() if kind is Kind.TABLE else ()
            value = self._after_sign() if kind is Kind.TABLE else self._value()
            after = self._at
            self._skip(_LOOSE)
            comma = self._at if self._text.startswith(",", self._at) else -1
            self._at = self._at + 1 if comma >= 0 else after
            entries.append(Entry(key, start, value, comma))

    def _string(self) -> None:
        for form in _STRINGS:
            found = form.match(self._text, self._at)
            if found:
                self._at = found.end()
                return
        raise AssertionError(f"no string at {self._at}")

    def _skip(self, what: re.Pattern[str]) -> None:
        found = what.match(self._text, self._at)
        self._at = found.end() if found else self._at


def _plain(quoted: str) -> str:
    """The name that a key in quotation marks spells."""
    return str(tomllib.loads(f"key = {quoted}")["key"])
