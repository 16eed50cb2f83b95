"""Measured points from a file of comma- or semicolon-separated values (RFC 4180)."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

from tiler.intake.points.point import KINDS, Kind, Measured, length_in
from tiler.intake.tomltable import NAME_LIMIT, near_miss
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError, LengthError
from tiler.pattern.units import MM_PER_UNIT

COLUMNS = ("x", "y", "kind", "unit", "name", "note")
#: More rows than anybody measures.
ROW_LIMIT = 2000
_AXIS = re.compile(r"([xy])\s*(?:in\b)?\s*[(\[]?\s*([a-zA-Z\"″”]*)\s*[)\]]?")
_INCHES = ('"', "″", "”", "inch", "inches")
_EXAMPLE = "Begin the file with the line x (cm),y (cm),kind."
_TOO_LONG = 400


@dataclass(frozen=True, slots=True)
class _Head:
    """Which column is where, and the units that the head gives."""

    column: dict[str, int]
    unit: dict[str, str]
    line: int


def points_in(content: bytes) -> tuple[Measured, ...]:
    """Read a table of points.

    The first line names the columns x, y and kind, and may name unit, name and note, in any
    order. Values are parted by commas, semicolons or tabs; where they are parted by semicolons or
    tabs, or stand in quotation marks, a decimal comma may be written. Empty lines are passed over.

    Args:
        content: The file.

    Raises:
        DrawingError: It is no such table; with line and column.
    """
    rows = list(_rows(_text(content)))
    if not rows:
        raise DrawingError("the table of points is empty", remedy=_EXAMPLE)
    head = _head(*rows[0])
    if len(rows) - 1 > ROW_LIMIT:
        raise DrawingError(
            f"the table has {len(rows) - 1} points", remedy=f"Keep to {ROW_LIMIT} points."
        )
    return tuple(_point(head, line, cells) for line, cells in rows[1:])


def _text(content: bytes) -> str:
    try:
        if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return content.decode("utf-16")
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # What spreadsheets on Windows still write; every byte means something there.
        return content.decode("cp1252", "replace")


def _rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """Line number and cells of every line that holds something."""
    if "\0" in text:
        raise DrawingError("this is no table of points", remedy="Save it as CSV.")
    lines = text.splitlines(keepends=True)
    parted = ""
    # A line that some spreadsheets put first, to say what parts the values.
    if lines and re.fullmatch(r"sep=[,;\t]\s*", lines[0], re.IGNORECASE):
        parted = lines[0][4]
    first = next((line for line in lines[bool(parted) :] if line.strip(" ;,\t\r\n")), "")
    parted = parted or max(";\t,", key=first.count)
    reader = csv.reader(io.StringIO("".join(lines), newline=""), delimiter=parted)
    before = 0
    try:
        for cells in reader:
            line, before = before + 1, reader.line_num
            if (line > 1 or not lines[0].lower().startswith("sep=")) and any(
                cell.strip() for cell in cells
            ):
                yield line, [cell.strip() for cell in cells]
    except csv.Error as bad:
        raise DrawingError(
            f"the table cannot be read: {bad}", where=f"line {before + 1}", remedy="Save it as CSV."
        ) from None


def _head(line: int, cells: list[str]) -> _Head:
    column: dict[str, int] = {}
    unit: dict[str, str] = {}
    for number, cell in enumerate(cells):
        word = cell.lower()
        axis = _AXIS.fullmatch(word)
        if axis and (not axis[2] or _known(axis[2])):
            word = axis[1]
            if axis[2]:
                unit[word] = _known(axis[2])
        if not word and number >= len(COLUMNS):
            continue
        if word not in COLUMNS:
            remedy = near_miss(word, COLUMNS) if word else ""
            raise DrawingError(
                f'there is no column "{cell[:40]}"',
                where=f"line {line}",
                remedy=f"{remedy} {_EXAMPLE}".strip(),
            )
        if word in column:
            raise DrawingError(
                f'the column "{word}" is there twice', where=f"line {line}", remedy="Keep one."
            )
        column[word] = number
    for word in ("x", "y", "kind"):
        if word not in column:
            raise DrawingError(
                f'the column "{word}" is missing', where=f"line {line}", remedy=_EXAMPLE
            )
    return _Head(column, unit, line)


def _known(unit: str) -> str:
    unit = "in" if unit in _INCHES else unit
    return unit if unit in MM_PER_UNIT else ""


def _point(head: _Head, line: int, cells: list[str]) -> Measured:
    where = f"line {line}"
    if len(cells) > max(head.column.values()) + 1 and any(cells[max(head.column.values()) + 1 :]):
        raise DrawingError(
            f"the line has {len(cells)} values, and the head names {len(head.column)} columns",
            where=where,
            remedy="Part values by semicolons when numbers have a decimal comma, or write a point.",
        )

    def cell(column: str) -> str:
        place = head.column.get(column, len(cells))
        text = cells[place] if place < len(cells) else ""
        if len(text) > _TOO_LONG:
            raise DrawingError(
                f"there are {len(text)} characters",
                where=f"{where}, column {column}",
                remedy=f"Keep to {_TOO_LONG} characters.",
            )
        return text

    own = cell("unit").lower()
    if own and not _known(own):
        raise DrawingError(
            f'there is no unit "{own[:40]}"',
            where=f"{where}, column unit",
            remedy=f"Write one of {', '.join(MM_PER_UNIT)}.",
        )
    kind = cell("kind").lower()
    if kind not in tuple(Kind):
        problem = f'there is no kind "{kind[:40]}"' if kind else "the kind is missing"
        raise DrawingError(problem, where=f"{where}, column kind", remedy=f"Write {KINDS}.")
    place = [
        _length(cell(axis), _known(own) or head.unit.get(axis, ""), f"{where}, column {axis}")
        for axis in ("x", "y")
    ]
    return Measured(Point(*place), Kind(kind), where, _name(cell("name"), where))


def _length(text: str, unit: str, where: str) -> float:
    if not text:
        raise DrawingError("the number is missing", where=where, remedy="Write it, as in 53.5.")
    try:
        return length_in(text, unit)
    except LengthError as bad:
        raise DrawingError(bad.problem, where=where, remedy=bad.remedy) from None


def _name(text: str, where: str) -> str:
    name = " ".join(text.split())
    if not name.isprintable() or len(name) > NAME_LIMIT:
        raise DrawingError(
            "the name is too long, or has letters that cannot be printed",
            where=f"{where}, column name",
            remedy=f"Keep it to {NAME_LIMIT} letters.",
        )
    return name
