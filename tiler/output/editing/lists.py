"""Entries of lists: in brackets, or as tables under headers of their own."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import Any

from tiler.intake.tomlwords import toml_key
from tiler.output.editing import examples
from tiler.output.editing.document import Document
from tiler.output.editing.nodes import Entry, Kind, Node, Path
from tiler.output.editing.spelling import BLOCKS, mark, spelled, statement

#: A list that would make its line longer (characters) is broken over several.
_WIDE = 100
_INDENT = "    "


def added(doc: Document, path: Path, value: Any, at: int | None = None) -> Document:
    """Add an entry to a list, or make the list.

    Args:
        doc: The file.
        path: Of the list.
        value: The entry.
        at: Its number; None for the end.
    """
    from tiler.output.editing.putting import put, take

    old = doc.value(path)
    if old is None and len(path) == 1 and path[0] in BLOCKS:
        return _first_block(doc, path, value)
    if old is None:
        return put(doc, path, [value])
    if not isinstance(old, list):
        spot = doc.spot(path)
        if spot is None:
            return put(take(doc, path), path, [old, value])
        words = f"[{doc.text[spot.node.start : spot.node.end]}, {spelled(value)}]"
        return _unwound(doc.replaced(spot.node.start, spot.node.end, words), path)
    number = len(old) if at is None else at
    spot = doc.spot(path)
    if spot is None:
        return _block(doc, path, value, number)
    direct = not any(holder.kind is Kind.TABLE for holder, _ in spot.holders)
    doc = _into(doc, spot.node, number, spelled(value))
    return _unwound(doc, path) if direct else doc


def without(doc: Document, node: Node, number: int) -> Document:
    """Take an entry out of a list in brackets; a remark on a line of its own stays."""
    entries, text = node.entries, doc.text
    entry = entries[number]
    start, after = entry.start, max(entry.value.end, entry.comma + 1)
    line, end = doc.line_start(start), doc.line_end(after)
    rest = text[after:end].strip()
    if not text[line:start].strip() and (not rest or rest.startswith("#")):
        if rest:
            return doc.replaced(start, after + text[after:end].index("#"), "")
        return doc.replaced(line, end, "")
    if number + 1 < len(entries):
        while after < entries[number + 1].start and text[after] in " \t":
            after += 1
        return doc.replaced(start, after, "")
    if number:
        return doc.replaced(entries[number - 1].value.end, entry.value.end, "")
    return doc.replaced(start, after, "")


def reconciled(doc: Document, path: Path, old: list[Any], new: list[Any]) -> Document:
    """Make a list hold other entries; those that stay are left as they are written."""
    from tiler.output.editing.putting import put, take

    if doc.spot(path) is None and not all(isinstance(each, dict) for each in new):
        return put(take(doc, path), path, new)
    matcher = SequenceMatcher(None, [*map(mark, old)], [*map(mark, new)], autojunk=False)
    for tag, first, last, begin, end in reversed(matcher.get_opcodes()):
        if tag == "equal":
            continue
        both = min(last - first, end - begin)
        for number in reversed(range(first + both, last)):
            doc = take(doc, (*path, number))
        for number in range(begin + both, end):
            doc = added(doc, path, new[number], first + number - begin)
        for number in range(both):
            doc = put(doc, (*path, first + number), new[begin + number])
    return doc


def open_end(doc: Document, at: int) -> str:
    """The line end that is missing before a place that is to begin a line."""
    return "\n" if at and doc.text[at - 1] != "\n" else ""


def _into(doc: Document, node: Node, number: int, words: str) -> Document:
    entries, text = node.entries, doc.text
    if not entries:
        inside = text[node.start + 1 : node.end - 1]
        if "\n" not in inside:
            return doc.replaced(node.start, node.end, f"[{words}]")
        line = doc.line_start(node.end - 1)
        return doc.replaced(line, line, f"{_INDENT}{words},\n")
    if number == 0:
        first = entries[0]
        line = doc.line_start(first.start)
        if line > node.start and not text[line : first.start].strip():
            return doc.replaced(line, line, f"{text[line : first.start]}{words},\n")
        return doc.replaced(first.start, first.start, f"{words}, ")
    return _behind(doc, entries[number - 1], words)


def _behind(doc: Document, entry: Entry, words: str) -> Document:
    """An entry behind another one, on a line of its own when that one has such."""
    text = doc.text
    line, after = doc.line_start(entry.start), max(entry.value.end, entry.comma + 1)
    end = doc.line_end(after)
    rest = text[after:end].strip()
    own = not text[line : entry.start].strip() and (not rest or rest.startswith("#"))
    if not own:
        comma = "" if entry.comma < 0 else ","
        at = entry.value.end
        after = max(at, entry.comma + 1)
        return doc.replaced(at, after, f", {words}{comma}")
    indent = text[line : entry.start]
    doc = doc.replaced(end, end, f"{open_end(doc, end)}{indent}{words},\n")
    if entry.comma < 0:
        doc = doc.replaced(entry.value.end, entry.value.end, ",")
    return doc


def _unwound(doc: Document, path: Path) -> Document:
    """A list whose one line has grown long, with each entry on a line of its own."""
    spot = doc.spot(path)
    assert spot is not None
    node, text = spot.node, doc.text
    line = doc.line_start(node.start)
    end = doc.line_end(node.start)
    words = text[node.start : node.end]
    if "\n" in words or len(text[line:end].rstrip()) <= _WIDE or spot.holders:
        return doc
    entries = [text[each.value.start : each.value.end] for each in node.entries]
    lines = ["[", *(f"{_INDENT}{each}," for each in entries), "]"]
    return doc.replaced(node.start, node.end, "\n".join(lines))


def _block_words(path: Path, value: dict[str, Any]) -> str:
    name = ".".join(toml_key(part) for part in path if isinstance(part, str))
    lines = [f"[[{name}]]", *(statement(key, each) for key, each in value.items())]
    return "\n".join(lines) + "\n"


def _block(doc: Document, path: Path, value: dict[str, Any], number: int) -> Document:
    """A table under a header of its own, behind the one before it in the list."""
    words = _block_words(path, value)
    if number == 0:
        at = doc.sections_below((*path, 0))[0].start
        return doc.replaced(at, at, f"{words}\n")
    before = doc.sections_below((*path, number - 1))[-1]
    at = examples.behind_remarks(doc, before)
    return doc.replaced(at, at, f"{open_end(doc, at)}\n{words}")


def _first_block(doc: Document, path: Path, value: dict[str, Any]) -> Document:
    words = _block_words(path, value)
    example = examples.of_block(doc, str(path[0]))
    if example is not None:
        return doc.replaced(*example, words)
    at = len(doc.text)
    return doc.replaced(at, at, f"{open_end(doc, at)}\n{words}")
