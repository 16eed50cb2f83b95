"""A value put into a pattern file, or taken out of it."""

from __future__ import annotations

from typing import Any

from tiler.intake.tomlwords import toml_key
from tiler.output.editing import examples, lists
from tiler.output.editing.document import Document, Spot
from tiler.output.editing.nodes import Kind, Node, Path, Section
from tiler.output.editing.spelling import BLOCKS, HEADED, behind, spelled, statement


def put(doc: Document, path: Path, value: Any) -> Document:
    """Make a value stand under a path; what is so already is left as it is written.

    Args:
        doc: The file.
        path: Where; what it goes through is made when it is not there.
        value: None to take away what stands there; else text, a truth, a number, a list or a
            table.
    """
    if value is None:
        return take(doc, path)
    old = doc.value(path)
    if old is None:
        return _new(doc, path, value)
    if old == value and type(old) is type(value):
        return doc
    spot = doc.spot(path)
    if isinstance(old, dict) and isinstance(value, dict):
        return _table(doc, path, old, value)
    if isinstance(old, list) and isinstance(value, list):
        return lists.reconciled(doc, path, old, value)
    if spot is None:
        return _new(take(doc, path), path, value)
    key = "" if spot.holders else str(path[-1])
    words = spelled(value, key)
    if isinstance(value, str) and doc.text[spot.node.start] == "'" and _plain(value):
        words = f"'{value}'"
    return doc.replaced(spot.node.start, spot.node.end, words)


def take(doc: Document, path: Path) -> Document:
    """Take away what stands under a path; a remark on its line stays."""
    if doc.value(path) is None:
        return doc
    spot = doc.spot(path)
    if spot is not None:
        return _taken(doc, spot)
    held = doc.spot(path[:-1])
    if held is not None:
        # A dotted key in braces: the table is written anew.
        rest = {key: each for key, each in doc.value(path[:-1]).items() if key != path[-1]}
        return doc.replaced(held.node.start, held.node.end, spelled(rest))
    lines = [line for _, line in doc.dotted(path)]
    sections = doc.sections_below(path)
    spans = [(_before(doc, each), each.last) for each in sections]
    spans += [(line.start, line.end) for line in lines]
    for start, end in sorted(spans, reverse=True):
        doc = doc.replaced(start, end, "")
    return doc


def _taken(doc: Document, spot: Spot) -> Document:
    if not spot.holders:
        line = spot.statement
        if line.comment < 0:
            return doc.replaced(line.start, line.end, "")
        return doc.replaced(line.start, line.comment, "")
    holder, number = spot.holders[-1]
    if holder.kind is Kind.ARRAY:
        return lists.without(doc, holder, number)
    return doc.replaced(*_entry_span(doc, holder, number), "")


def _entry_span(doc: Document, holder: Node, number: int) -> tuple[int, int]:
    entries = holder.entries
    if number + 1 < len(entries):
        return entries[number].start, entries[number + 1].start
    if number:
        return entries[number - 1].value.end, entries[number].value.end
    return holder.start + 1, holder.end - 1


def _table(doc: Document, path: Path, old: dict[str, Any], value: dict[str, Any]) -> Document:
    for key in old:
        if key not in value and len(doc.value(path)) > 1:
            doc = take(doc, (*path, key))
    for key, each in value.items():
        doc = put(doc, (*path, key), each)
    for key in old:
        # What was kept so that the table did not vanish before its new entries came.
        if key not in value and (doc.value(path) or {}).get(key) is not None:
            doc = take(doc, (*path, key))
    return doc


def _new(doc: Document, path: Path, value: Any) -> Document:
    parent, key = path[:-1], path[-1]
    if isinstance(key, int):
        return lists.added(doc, parent, value)
    spot = doc.spot(parent) if parent else None
    if spot is not None:
        return _into_braces(doc, parent, spot.node, key, value)
    section = doc.section(parent)
    if section is not None:
        return _into_section(doc, section, key, value)
    dotted = list(doc.dotted(parent))
    if dotted:
        home, last = dotted[-1]
        name = ".".join(toml_key(str(part)) for part in path[len(home.path) :])
        return _line_at(doc, last.end, f"{name} = {spelled(value)}")
    below = doc.sections_below(parent)
    if below and isinstance(value, dict):
        return _header(doc, _behind(doc, below[-1]), path, value)
    if below:
        return _header(doc, below[0].start, parent, {key: value}, before=True)
    return _new(doc, parent, {key: value})


def _into_braces(doc: Document, path: Path, node: Node, key: str, value: Any) -> Document:
    words = statement(key, value) if not isinstance(value, list) else ""
    words = words or f"{toml_key(key)} = {spelled(value)}"
    if not node.entries:
        return doc.replaced(node.start, node.end, f"{{ {words} }}")
    number = behind(path, key, [entry.key[0] for entry in node.entries])
    if number < len(node.entries):
        at = node.entries[number].start
        return doc.replaced(at, at, f"{words}, ")
    at = node.entries[-1].value.end
    return doc.replaced(at, at, f", {words}")


def _into_section(doc: Document, section: Section, key: str, value: Any) -> Document:
    path = section.path
    example = examples.of_key(doc, section, key)
    if example is not None:
        return _line_over(doc, *example, statement(key, value))
    if not path and isinstance(value, dict) and key in HEADED:
        return _headed(doc, key, value)
    if not path and key in BLOCKS:
        for each in value:
            doc = lists.added(doc, (key,), each)
        return doc
    lines = section.statements
    number = behind(path, key, [line.key[0] for line in lines])
    words = statement(key, value)
    if number:
        return _line_at(doc, lines[number - 1].end, words)
    at = lines[0].start if lines else section.body
    return _line_at(doc, at, words)


def _headed(doc: Document, key: str, value: dict[str, Any]) -> Document:
    """A new table of the whole file, behind those that go before it."""
    if key == "cutting" and value and all(isinstance(each, dict) for each in value.values()):
        for name, each in value.items():
            doc = _header(doc, _headed_place(doc, key), (key, name), each)
        return doc
    return _header(doc, _headed_place(doc, key), (key,), value)


def _headed_place(doc: Document, key: str) -> int:
    names = HEADED[: HEADED.index(key) + 1]
    before = [each for each in doc.sections if each.path and each.path[0] in names]
    return _behind(doc, before[-1] if before else doc.sections[0])


def _header(
    doc: Document, at: int, path: Path, value: dict[str, Any], *, before: bool = False
) -> Document:
    name = ".".join(toml_key(part) for part in path if isinstance(part, str))
    lines = [f"[{name}]", *(statement(key, each) for key, each in value.items())]
    words = "\n".join(lines) + "\n"
    return doc.replaced(at, at, f"{words}\n" if before else f"{lists.open_end(doc, at)}\n{words}")


def _line_at(doc: Document, at: int, words: str) -> Document:
    return doc.replaced(at, at, f"{lists.open_end(doc, at)}{words}\n")


def _line_over(doc: Document, start: int, end: int, words: str) -> Document:
    return doc.replaced(start, end, f"{words}\n")


def _before(doc: Document, section: Section) -> int:
    """Where a section begins, with the empty lines before it when there are some behind it."""
    at, end = section.start, doc.line_end(section.last)
    if section.last < len(doc.text) and doc.text[section.last : end].strip():
        return at
    while at and not doc.text[doc.line_start(at - 1) : at].strip():
        at = doc.line_start(at - 1)
    return at


def _behind(doc: Document, section: Section) -> int:
    return examples.behind_remarks(doc, section)


def _plain(text: str) -> bool:
    """Whether a literal string can hold a text."""
    return "'" not in text and text.isprintable()
