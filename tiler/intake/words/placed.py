"""Places on the pages that were laid by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tiler.intake.tomltable import NAME_LIMIT, TomlTable
from tiler.intake.tomlvalues import degrees_in
from tiler.pattern.placed import Placed, PlacedPiece

KEY = "placed"
_KEYS = ("on", "orientation", "margin", "overlap", "styles", "pieces")
_PIECE_KEYS = ("piece", "sheet", "page", "at", "turn")
_WAYS = ("portrait", "landscape")
_PAGE = re.compile(r"[A-Z]{1,3}[1-9]\d{0,3}")
_EXAMPLE = (
    '{ piece = "Front", sheet = 1, page = "B2", at = ["120 mm", "35.5 mm"], turn = "90 deg" }'
)


def placed_in(top: TomlTable) -> Iterator[Placed]:
    """The places that [[placed]] tables keep, one table for each paper.

    A piece that the pattern has no longer may be named: that is found when the places are used.

    Args:
        top: The whole file.

    Raises:
        PatternError: A value that cannot be, a piece that is named twice, or two tables for the
            same paper, margin, overlap and styles; with line and key.
    """
    seen: dict[tuple[object, ...], Placed] = {}
    for table in top.tables(KEY, "placed", '[[placed]] with on = "a4"'):
        placed = _placed(table)
        first = seen.setdefault(placed.kind, placed)
        if first is not placed:
            raise table.error(
                f"there are two places for the pieces on {placed.on} with the same margin, "
                "overlap and styles",
                "on",
                f"Keep one; the other is at {first.where}.",
            )
        yield placed


def _placed(table: TomlTable) -> Placed:
    table.only(_KEYS)
    way = table.must("orientation", '"portrait"')
    if way not in _WAYS:
        raise table.error(
            f'there is no orientation "{way}"',
            "orientation",
            'Write orientation = "portrait" or orientation = "landscape".',
        )
    pieces = tuple(_pieces(table))
    if not pieces:
        raise table.error("no piece has a place", "pieces", f"Write pieces = [{_EXAMPLE}].")
    return Placed(
        on=table.must("on", '"a4"').lower(),
        landscape=way == "landscape",
        margin=_needed(table, "margin"),
        overlap=_needed(table, "overlap"),
        pieces=pieces,
        styles=tuple(dict.fromkeys(table.texts("styles", limit=NAME_LIMIT))),
        where=table.where("on"),
    )


def _needed(table: TomlTable, key: str) -> float:
    length = table.length(key)
    if length is None:
        raise table.error(f"{key} is missing", key, f'Write {key} = "10 mm".')
    return length


def _pieces(table: TomlTable) -> Iterator[PlacedPiece]:
    seen = set()
    for entry in table.tables("pieces", "place", _EXAMPLE):
        entry.only(_PIECE_KEYS)
        name = entry.must("piece", '"Front"')
        if name in seen:
            raise entry.error(f'"{name}" has two places', "piece", "Keep one.")
        seen.add(name)
        page = entry.must("page", '"B2"')
        if not _PAGE.fullmatch(page):
            raise entry.error(
                f'"{page}" is no name of a page', "page", 'Write page = "B2", as on the sheets.'
            )
        turn = degrees_in(entry, "turn", 360, "90 deg")
        yield PlacedPiece(name, entry.count("sheet"), page, _at(entry), turn % 360)


def _at(entry: TomlTable) -> tuple[float, float]:
    value = entry.data.get("at")
    if not isinstance(value, list) or len(value) != 2:
        problem = "at is missing" if value is None else "at is not two lengths"
        raise entry.error(problem, "at", 'Write at = ["120 mm", "35.5 mm"].')
    x, y = (entry.length_of("at", each, signed=True) for each in value)
    return x, y
