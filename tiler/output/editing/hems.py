"""How an edge lies, how wide its allowance is and how it ends, in the words of the file."""

from __future__ import annotations

from typing import Any

from tiler.output.editing.change import key_of
from tiler.output.editing.document import Document
from tiler.output.editing.lists import added
from tiler.output.editing.nodes import Path
from tiler.output.editing.putting import put, take
from tiler.output.editing.tidying import take_tidily
from tiler.pattern.model import Lies

_TABLES = {"allowance": "allowances", "finish": "finish"}


def lies_of(piece: dict[str, Any], letter: str) -> Lies:
    """What the file says of an edge; SEWN when it says nothing."""
    for lies in (Lies.FOLD, Lies.RAW):
        if letter in letters(piece.get(lies.value)):
            return lies
    return Lies.HEM if any(letter in named for named, _ in hems(piece)) else Lies.SEWN


def hems(piece: dict[str, Any]) -> list[tuple[list[str], dict[str, Any] | None]]:
    """The entries of `hem`: the letters of each, and its table when it is one."""
    value = piece.get("hem", [])
    found: list[tuple[list[str], dict[str, Any] | None]] = []
    for each in value if isinstance(value, list) else [value]:
        if isinstance(each, dict):
            found.append((letters(each.get("edge")), each))
        else:
            found.append((letters(each), None))
    return found


def edge_value(piece: dict[str, Any], letter: str, key: str) -> Any:
    """The `allowance` or `finish` of an edge, wherever it stands; None for nowhere."""
    table = piece.get(_TABLES[key])
    if isinstance(table, dict) and key_of(table, letter) in table:
        return table[key_of(table, letter)]
    for named, hem in hems(piece):
        if letter in named and hem is not None:
            return hem.get(key)
    return None


def put_edge_value(doc: Document, path: Path, letter: str, key: str, value: Any) -> Document:
    """Set the `allowance` or `finish` of an edge where the file has it, or where it belongs.

    Args:
        doc: The file.
        path: Of the piece.
        letter: The edge.
        key: Which of the two.
        value: None to take it away.
    """
    piece = doc.value(path)
    table = piece.get(_TABLES[key], {})
    spelling = key_of(table, letter)
    in_table = isinstance(table, dict) and spelling in table
    at = next((n for n, (named, hem) in enumerate(hems(piece)) if hem and letter in named), None)
    if in_table and value is None:
        return take_tidily(doc, (*path, _TABLES[key], spelling))
    if in_table or (at is None and value is not None):
        return put(doc, (*path, _TABLES[key], spelling), value)
    if at is None or edge_value(piece, letter, key) == value:
        return doc
    named, hem = hems(piece)[at]
    assert hem is not None
    if len(named) > 1:
        # The other edges of the table keep what it says.
        doc = without_hem(doc, path, letter)
        changed = {**hem, "edge": letter, key: value}
        entry = {name: each for name, each in changed.items() if each is not None}
        return added(doc, (*path, "hem"), entry)
    return put(doc, (*_hem_path(doc, path, at), key), value)


def without_hem(doc: Document, path: Path, letter: str) -> Document:
    """With an edge that is no hem any more."""
    piece = doc.value(path)
    at = next((n for n, (named, _) in enumerate(hems(piece)) if letter in named), None)
    if at is None:
        return doc
    where = _hem_path(doc, path, at)
    named, hem = hems(piece)[at]
    if len(named) > 1:
        rest = [each for each in named if each != letter]
        inner = (*where, "edge") if hem is not None else where
        return put(doc, inner, rest[0] if len(rest) == 1 else rest)
    return take_tidily(doc, where) if where[-1] != "hem" else take(doc, where)


def with_lies(doc: Document, path: Path, letter: str, lies: Lies) -> Document:
    """With an edge that lies in another way; what it had of width and finish goes along."""
    piece = doc.value(path)
    before = lies_of(piece, letter)
    if before is lies:
        return doc
    for key in _TABLES:
        doc = put_edge_value(doc, path, letter, key, None)
    if before is Lies.HEM:
        doc = without_hem(doc, path, letter)
    elif before is not Lies.SEWN:
        doc = _without_letter(doc, (*path, before.value), letter)
    if lies is Lies.SEWN:
        return doc
    there = doc.value((*path, lies.value))
    if there is None:
        return put(doc, (*path, lies.value), letter)
    return added(doc, (*path, lies.value), letter)


def with_hem(doc: Document, path: Path, letter: str, values: dict[str, Any]) -> Document:
    """With an edge that is a hem, its width and finish in the table that names it."""
    entry: Any = {"edge": letter, **values} if values else letter
    if doc.value((*path, "hem")) is None:
        return put(doc, (*path, "hem"), entry)
    return added(doc, (*path, "hem"), entry)


def _without_letter(doc: Document, path: Path, letter: str) -> Document:
    value = doc.value(path)
    if not isinstance(value, list):
        return take(doc, path)
    number = next(n for n, each in enumerate(value) if letter in letters(each))
    return take_tidily(doc, (*path, number))


def _hem_path(doc: Document, path: Path, at: int) -> Path:
    if isinstance(doc.value((*path, "hem")), list):
        return (*path, "hem", at)
    return (*path, "hem")


def letters(value: Any) -> list[str]:
    """The letters of edges that a value names: one, a list of them, or none."""
    values = value if isinstance(value, list) else [] if value is None else [value]
    return [" ".join(each.split()).upper() for each in values if isinstance(each, str)]
