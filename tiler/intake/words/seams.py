"""Seams between edges, and half pieces joined on one sheet."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from tiler.intake.tomltable import NAME_LIMIT, TomlTable, near_miss
from tiler.intake.tomlvalues import edge_name_of, flag_in
from tiler.intake.words.model import PieceWords
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Seam
from tiler.pattern.wishes import EdgeName

_KEYS = ("name", "join", "ease", "times", "turned", "match")
_JOIN = (
    'join = ["Front.E", "Back.E"], or with several edges on a side '
    'join = [["Front.D", "Back.D"], "Sleeve.B"]'
)


def seams_in(top: TomlTable, pieces: Collection[str]) -> Iterator[Seam]:
    """The seams that [[seam]] tables declare.

    Args:
        top: The whole file.
        pieces: Names of all pieces.

    Raises:
        PatternError: A side that names no edge, an ease that is not one, an unknown piece.
    """
    for table in top.tables("seam", "seam", '[[seam]] with join = ["Front.E", "Back.E"]'):
        table.only(_KEYS)
        first, second = _sides(table, pieces)
        ease = _ease(table)
        yield Seam(
            first,
            second,
            ease=ease,
            times=_times(table),
            name=table.text("name", limit=NAME_LIMIT),
            turned=flag_in(table, "turned"),
            where=table.where("join"),
            equal="ease" in table.data and ease == (0.0, 0.0),
            match=bool(flag_in(table, "match")),
        )


def joined_in(top: TomlTable, pieces: Collection[str]) -> tuple[tuple[str, str], ...]:
    """Pairs of half pieces that are printed on one sheet.

    Raises:
        PatternError: Not two different pieces, an unknown one, or one in two pairs.
    """
    value = top.data.get("joined", [])
    remedy = 'Write joined = [["Front", "Back"]].'
    if not isinstance(value, list):
        raise top.error("joined is not a list of pairs", "joined", remedy)
    pairs: list[tuple[str, str]] = []
    for each in value:
        names = top.listed("joined", each) if isinstance(each, list) else ()
        if len(names) != 2:
            raise top.error("joined does not hold pairs of two pieces", "joined", remedy)
        for name in names:
            if name not in pieces:
                raise top.error(f'there is no piece "{name}"', "joined", near_miss(name, pieces))
        one, other = names
        if one == other:
            raise top.error(f'"{one}" is joined to itself', "joined", "Name two pieces.")
        for name in names:
            if any(name in pair for pair in pairs):
                raise top.error(f'"{name}" stands in two pairs', "joined", "Keep it in one.")
        pairs.append((one, other))
    return tuple(pairs)


def refuse_unjoined(pieces: Sequence[PieceWords], seams: Sequence[Seam]) -> None:
    """See that there is a seam for each notch that is to meet the notches of another edge.

    Raises:
        PatternError: There is none.
    """
    for piece in pieces:
        for notch in piece.wishes.notches:
            if notch.meets is None:
                continue
            own = EdgeName(piece.name, notch.edge)
            where = f"{notch.where}, key meets"
            if own == notch.meets:
                raise PatternError(
                    f"the notch on {own} is to meet the notches of the same edge",
                    where=where,
                    remedy="Name the edge that it is sewn to.",
                )
            if not any(_joins(seam, own, notch.meets) for seam in seams):
                raise PatternError(
                    f"no seam joins {own} and {notch.meets}",
                    where=where,
                    remedy=f'Add [[seam]] with join = ["{notch.meets}", "{own}"].',
                )


def _joins(seam: Seam, one: EdgeName, other: EdgeName) -> bool:
    return (one in seam.first and other in seam.second) or (
        other in seam.first and one in seam.second
    )


def _sides(
    table: TomlTable, pieces: Collection[str]
) -> tuple[tuple[EdgeName, ...], tuple[EdgeName, ...]]:
    value = table.data.get("join")
    if not isinstance(value, list) or len(value) != 2:
        problem = "join is missing" if value is None else "join does not have two sides"
        raise table.error(problem, "join", f"Write {_JOIN}.")
    sides: list[tuple[EdgeName, ...]] = []
    for each in value:
        texts = table.listed("join", each)
        if not texts:
            raise table.error("one side of the seam names no edge", "join", f"Write {_JOIN}.")
        sides.append(tuple(edge_name_of(table, "join", text, pieces) for text in texts))
    return sides[0], sides[1]


def _ease(table: TomlTable) -> tuple[float, float]:
    value = table.data.get("ease", "0 mm")
    values = value if isinstance(value, list) else [value]
    if not 1 <= len(values) <= 2:
        raise table.error(
            "ease is neither one length nor two",
            "ease",
            'Write ease = "7 mm" or ease = ["5 mm", "10 mm"].',
        )
    lengths = [table.length_of("ease", each, signed=True) for each in values]
    least, most = lengths[0], lengths[-1]
    if least > most:
        raise table.error(
            f"ease runs from {least:g} mm to {most:g} mm", "ease", "Write the smaller one first."
        )
    return least, most


def _times(table: TomlTable) -> tuple[int, int]:
    if "times" not in table.data:
        return 1, 1
    value = table.data["times"]
    if not isinstance(value, list) or len(value) != 2:
        raise table.error(
            "times is not two whole numbers",
            "times",
            "Write times = [4, 6] when the first side goes into the seam four times and the "
            "second six times.",
        )
    first, second = (table.count_of("times", each) for each in value)
    return first, second
