"""What a pattern file says, cut into the smallest parts that two people can change at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

from tiler.output.editing.hems import edge_value, hems, letters, lies_of
from tiler.output.editing.spelling import mark, said
from tiler.pattern.model import Lies

#: Names from the outside in.
Cell = tuple[str, ...]
_TABLES = ("cloth", "stretch", "style", "finished")
_GROUPS = ("joined", "keep_together")
_ENTRIES = ("darts", "notches", "marks")
_EDGES = ("fold", "raw", "hem", "allowances", "finish")
#: Stands before the entries of a list, which have no names.
_ENTRY = "entry"


def cells(data: dict[str, Any]) -> dict[Cell, Any]:
    """All cells of a file; entries of lists are cells too, each with how often it is there."""
    found: dict[Cell, Any] = {}
    for key, value in data.items():
        if key in _TABLES and isinstance(value, dict):
            found.update({(key, name): each for name, each in value.items()})
        elif key == "cutting" and isinstance(value, dict):
            for cloth, facts in value.items():
                if isinstance(facts, dict):
                    found.update({(key, cloth, name): each for name, each in facts.items()})
                else:
                    found[key, cloth] = facts
        elif key in (*_GROUPS, "seam"):
            found.update(_entries((key,), value))
        elif key == "piece" and isinstance(value, list):
            for piece in value:
                if isinstance(piece, dict):
                    found.update(_piece(piece))
        else:
            found[key,] = value
    return found


def theirs_and_mine(
    cell: Cell, base: dict[Cell, Any], now: dict[Cell, Any], mine: dict[Cell, Any]
) -> tuple[str, str]:
    """What stands in a cell now, and what was to stand there, as the file spells it."""
    if len(cell) > 1 and cell[-2] == _ENTRY:
        return _new_entries(cell, base, now), _new_entries(cell, base, mine)
    was, is_now, wanted = base.get(cell), now.get(cell), mine.get(cell)
    if all(each is None or isinstance(each, dict) for each in (was, is_now, wanted)):
        keys = {**(was or {}), **(is_now or {}), **(wanted or {})}
        three = (was or {}, is_now or {}, wanted or {})
        differ = [key for key in keys if len({mark(each.get(key)) for each in three}) > 1]
        return _parts(is_now or {}, differ), _parts(wanted or {}, differ)
    return said(is_now), said(wanted)


def place_of(cell: Cell) -> str:
    """Where a cell is, for a reader: ``Front, edge B``."""
    parts = list(cell[:-2] if len(cell) > 1 and cell[-2] == _ENTRY else cell)
    if parts[0] == "piece" and len(parts) > 1:
        parts = parts[1:]
    if len(parts) > 2 and parts[-2] == "edge":
        parts[-2:] = [f"edge {parts[-1]}"]
    return ", ".join(parts)


def _piece(piece: dict[str, Any]) -> Iterator[tuple[Cell, Any]]:
    name = piece.get("name")
    at = ("piece", " ".join(name.split()) if isinstance(name, str) else "")
    yield at, True
    for key, value in piece.items():
        if key in _ENTRIES:
            yield from _entries((*at, key), value).items()
        elif key in ("names", "styles") and isinstance(value, dict):
            for each, said_of in value.items():
                letter = each.strip().upper() if key == "names" else each
                yield (*at, key, letter), said_of
        elif key not in _EDGES:
            yield (*at, key), value
    for letter in _edge_letters(piece):
        yield (*at, "edge", letter), _edge(piece, letter)


def _edge(piece: dict[str, Any], letter: str) -> dict[str, Any]:
    lies = lies_of(piece, letter)
    found = {} if lies is Lies.SEWN else {"lies": lies.value}
    for key in ("allowance", "finish"):
        value = edge_value(piece, letter, key)
        found |= {key: value} if value is not None else {}
    return found


def _edge_letters(piece: dict[str, Any]) -> list[str]:
    found = [*letters(piece.get("fold")), *letters(piece.get("raw"))]
    found += [letter for named, _ in hems(piece) for letter in named]
    for key in ("allowances", "finish"):
        table = piece.get(key)
        found += [each.strip().upper() for each in table] if isinstance(table, dict) else []
    return list(dict.fromkeys(found))


def _entries(at: Cell, value: Any) -> dict[Cell, Any]:
    values = value if isinstance(value, list) else [value]
    shown: dict[Cell, Any] = {}
    for each, count in Counter(map(mark, values)).items():
        entry = next(v for v in values if mark(v) == each)
        shown[(*at, _ENTRY, each)] = (count, said(entry))
    return shown


def _new_entries(cell: Cell, base: dict[Cell, Any], other: dict[Cell, Any]) -> str:
    """The entries of a cell's list that another file has and the first one has not."""
    new = [
        value[1] for key, value in other.items() if key[:-1] == cell[:-1] and base.get(key) != value
    ]
    return "; ".join(new)


def _parts(values: dict[str, Any], keys: list[str]) -> str:
    return ", ".join(said(values[key]) for key in keys if key in values)
