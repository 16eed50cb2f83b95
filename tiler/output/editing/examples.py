"""Remarks of a pattern file: examples that wait to be used, and what hangs on the lines above."""

from __future__ import annotations

import re
import tomllib

from tiler.output.editing.document import Document
from tiler.output.editing.nodes import Section

#: An example that is longer (lines) is not looked at.
_LONGEST = 60


def of_key(doc: Document, section: Section, key: str) -> tuple[int, int] | None:
    """Where the example of a key stands in a section: ``#allowance = "15 mm"``.

    A ``#`` right before a word makes an example, as the head of a file that was begun here says;
    one with a space behind it is a remark and stays.

    Returns:
        Where its first line begins, and behind the end of its last one; None when there is none.
    """
    begin = re.compile(rf"#{re.escape(key)}\s*=")
    at = section.body
    ends = {line.start: line.end for line in section.statements}
    while at < section.end:
        if at in ends:
            at = ends[at]
            continue
        if doc.text.startswith("#[", at):
            return None
        if begin.match(doc.text, at):
            end = _example_end(doc, at, section.end)
            if end:
                return at, end
        at = doc.line_end(at)
    return None


def of_block(doc: Document, name: str) -> tuple[int, int] | None:
    """Where the example of a table in a list stands: ``#[[seam]]`` and the lines below it."""
    header = re.compile(rf"#\[\[{re.escape(name)}\]\]\s*")
    for section in doc.sections:
        at = section.last
        while at < section.end:
            end = doc.line_end(at)
            if header.fullmatch(doc.text[at:end]):
                start = at
                at = end
                while at < section.end and re.match(r"#[A-Za-z_]+\s*=", doc.text[at:]):
                    at = doc.line_end(at)
                return start, at
            at = end
    return None


def behind_remarks(doc: Document, section: Section) -> int:
    """Behind a section's last line, and behind the remarks and examples that follow it at once.

    Remarks that run on into the next header belong to that one.
    """
    at = section.last
    while at < section.end:
        end = doc.line_end(at)
        if not doc.text[at:end].strip():
            return at
        at = end
    return section.last if section.end < len(doc.text) else at


def _example_end(doc: Document, start: int, stop: int) -> int:
    """Behind the end of an example; 0 when what begins like one is none."""
    at, words = start, ""
    for _ in range(_LONGEST):
        if at >= stop or doc.text[at] != "#":
            return 0
        end = doc.line_end(at)
        words += doc.text[at + 1 : end]
        try:
            tomllib.loads(words)
        except ValueError:
            at = end
            continue
        return end
    return 0
