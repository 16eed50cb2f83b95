"""Markdown -> tokens, for both outputs alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token


def parser() -> MarkdownIt:
    """CommonMark with tables; HTML in the text stays text."""
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"html": False}).enable("table")


@dataclass(frozen=True)
class Section:
    """A part of the notes that begins with a heading of the second level; the cover has none."""

    title: str
    tokens: tuple[Token, ...]


def sections_of(markdown: str) -> list[Section]:
    """The cover, then each section with its heading."""
    tokens = parser().parse(markdown)
    starts = [
        n for n, token in enumerate(tokens) if token.type == "heading_open" and token.tag == "h2"
    ]
    edges = [0, *starts, len(tokens)]
    found = []
    for start, end in pairwise(edges):
        part = tuple(tokens[start:end])
        title = part[1].content if part and part[0].tag == "h2" else ""
        found.append(Section(title, part))
    return found


def texts(tokens: Sequence[Token]) -> Iterator[str]:
    """All that is set, piece by piece."""
    for token in tokens:
        if token.type in ("text", "code_inline"):
            yield token.content
        yield from texts(token.children or [])


def shows(inline: Token) -> bool:
    """Whether a paragraph or a cell begins with a picture."""
    children = inline.children or []
    return bool(children) and children[0].type == "image"
