"""Notches and rows of marks that a piece asks for."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from enum import StrEnum

from tiler.intake.tomltable import TomlTable
from tiler.intake.tomlvalues import above_zero, choice_in, edge_name_of, letter_in, place_in
from tiler.pattern.wishes import MarkWish, NotchShape, NotchWish

_NOTCH = ("edge", "at", "from", "meets", "count", "shape")
_NOTCH_EXAMPLE = 'notches = [{ edge = "E", at = "250 mm" }]'
_MARK = ("kind", "edge", "at", "from", "inside", "count", "apart", "size")
_MARK_EXAMPLE = 'marks = [{ kind = "button", edge = "A", at = "50 mm", inside = "15 mm" }]'


class MarkKind(StrEnum):
    """Marks that can be put beside an edge."""

    DRILL = "drill"
    BUTTON = "button"
    BUTTONHOLE = "buttonhole"


def notch_wishes(table: TomlTable, pieces: Collection[str]) -> Iterator[NotchWish]:
    """The notches that a [[piece]] asks for.

    Args:
        table: The piece.
        pieces: Names of all pieces.

    Raises:
        PatternError: A place that is not one, both a place and an edge to meet, or neither.
    """
    for notch in table.tables("notches", "notch", _NOTCH_EXAMPLE):
        notch.only(_NOTCH)
        letter = letter_in(notch, "edge")
        if "meets" in notch.data and ("at" in notch.data or "from" in notch.data):
            key = "at" if "at" in notch.data else "from"
            raise notch.error(
                f"a notch has both meets and {key}",
                key,
                f"Keep {key} for a place of its own, or meets for the place that the seam gives.",
            )
        if "meets" not in notch.data and "at" not in notch.data:
            raise notch.error(
                "a notch has neither at nor meets",
                "at",
                'Write at = "250 mm", at = "40 %", or meets = "Front.D".',
            )
        meets = None
        if "meets" in notch.data:
            text = notch.must("meets", '"Front.D"')
            meets = edge_name_of(notch, "meets", text, pieces)
        count = None
        if "count" in notch.data:
            count = notch.count("count")
            if count > 2:
                raise notch.error(
                    f"a notch cannot have the count {count}",
                    "count",
                    "Write count = 1 for a single or count = 2 for a double notch.",
                )
        yield NotchWish(
            edge=letter,
            at=None if meets else place_in(notch),
            meets=meets,
            count=count,
            shape=choice_in(notch, "shape", NotchShape),
            where=notch.where(),
        )


def mark_wishes(table: TomlTable) -> Iterator[MarkWish]:
    """The rows of marks that a [[piece]] asks for.

    Raises:
        PatternError: No such kind, a place that is not one, or a row without a distance.
    """
    for mark in table.tables("marks", "mark", _MARK_EXAMPLE):
        mark.only(_MARK)
        kind = choice_in(mark, "kind", MarkKind)
        if kind is None:
            raise mark.error("kind is missing", "kind", 'Write kind = "button".')
        inside = mark.length("inside")
        if inside is None:
            raise mark.error("inside is missing", "inside", 'Write inside = "15 mm".')
        count = mark.count("count") if "count" in mark.data else 1
        if count == 1 and "apart" in mark.data:
            raise mark.error(
                "apart is given for a single mark",
                "apart",
                "Write count = 5, or as many as there are, or leave apart out.",
            )
        if kind is MarkKind.DRILL and "size" in mark.data:
            raise mark.error("a drill mark has no size", "size", "Leave it out.")
        yield MarkWish(
            kind=kind.value,
            at=place_in(mark),
            inside=inside,
            count=count,
            apart=above_zero(mark, "apart", "80 mm") if count > 1 else 0.0,
            size=above_zero(mark, "size", "20 mm") if "size" in mark.data else None,
            where=mark.where(),
        )
