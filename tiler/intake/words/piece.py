"""What one [[piece]] table says."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import PurePosixPath, PureWindowsPath

from tiler.intake.tomltable import NAME_LIMIT, TomlTable, near_miss
from tiler.intake.tomlvalues import choice_in
from tiler.intake.words import edges, wishes
from tiler.intake.words.model import PieceWords
from tiler.intake.words.points import points_of
from tiler.pattern.model import Cut, Lay, Part, Role, Side
from tiler.pattern.wishes import NotchShape

_KEYS = (
    "name",
    "drawing",
    "points",
    "layer",
    "cut",
    "allowance",
    "notes",
    "traced",
    "part",
    "side",
    *edges.KEYS,
    *wishes.KEYS,
)
_CUT = ("count", "cloth", "lay")
_LAYS = '"fold" (on the fold), "pair" (mirrored) or "copies" (all the same way up)'


class Traced(StrEnum):
    """What an outline is whose drawing does not say."""

    CUT = Role.CUT.value
    STITCH = Role.STITCH.value


@dataclass(frozen=True, slots=True)
class Common:
    """What the head of the file says for all pieces.

    Args:
        allowance: Millimetres; None when not said.
        cloths: Names of the cloths.
        pieces: Names of the pieces.
        traced: What an outline is; None when not said.
        traced_where: File, line and key of that.
        stitch_line: Whether stitch lines are drawn inside traced cut lines.
        notch: The shape of notches.
    """

    allowance: float | None
    cloths: Collection[str]
    pieces: Collection[str]
    traced: Role | None
    traced_where: str
    stitch_line: bool
    notch: NotchShape


def piece_words(table: TomlTable, common: Common) -> PieceWords:
    """Read and check one piece.

    Args:
        table: Its table.
        common: What holds unless the piece says otherwise.

    Raises:
        PatternError: An unknown key, or a value that cannot be; with line, piece and key.
    """
    table.only(_KEYS)
    own = table.length("allowance")
    traced = traced_in(table)
    points = points_of(table)
    asked = wishes.wishes_in(
        table, common.pieces, stitch_line=common.stitch_line, notch=common.notch
    )
    return PieceWords(
        name=table.must("name", '"Front"'),
        drawing=table.places.file if points else _drawing(table),
        layer=table.text("layer", limit=NAME_LIMIT),
        cuts=tuple(_cuts(table, common.cloths)),
        allowance=common.allowance if own is None else own,
        edges=edges.edge_words(table),
        notes=table.texts("notes"),
        where=table.where(),
        traced=traced or common.traced,
        traced_where=table.where("traced") if traced else common.traced_where,
        part=choice_in(table, "part", Part),
        side=choice_in(table, "side", Side),
        wishes=asked,
        letters=tuple(wishes.letters_of(table, asked)),
        points=points,
    )


def traced_in(table: TomlTable) -> Role | None:
    """The key `traced`; None when it is missing.

    Raises:
        PatternError: It is neither cut nor stitch.
    """
    traced = choice_in(table, "traced", Traced)
    return Role(traced.value) if traced else None


def _drawing(table: TomlTable) -> str:
    drawing = table.must("drawing", '"front.svg"')
    path = PurePosixPath(drawing)
    windows = PureWindowsPath(drawing)
    if path.is_absolute() or windows.drive or windows.root or "\\" in drawing:
        raise table.error(
            f'the drawing "{drawing}" is not named from the pattern folder',
            "drawing",
            "Put the drawing into the folder and give its name, with forward slashes.",
        )
    if ".." in path.parts:
        raise table.error(
            f'the drawing "{drawing}" lies outside of the pattern folder',
            "drawing",
            "Put the drawing into the folder.",
        )
    if path.suffix.lower() not in (".svg", ".csv"):
        raise table.error(
            f'the drawing "{drawing}" is not an .svg file or a .csv table of points',
            "drawing",
            "Save it as SVG.",
        )
    return str(path)


def _cuts(table: TomlTable, cloths: Collection[str]) -> Iterator[Cut]:
    value = table.data.get("cut", [])
    for each in value if isinstance(value, list) else [value]:
        cut = table.under("cut", each)
        cut.only(_CUT)
        count = cut.count("count")
        cloth = cut.text("cloth", limit=NAME_LIMIT)
        if cloth and cloths and cloth not in cloths:
            raise cut.error(
                f'there is no cloth "{cloth}" in the table [cloth]',
                "cloth",
                near_miss(cloth, cloths),
            )
        lay = cut.text("lay", limit=NAME_LIMIT)
        if lay not in tuple(Lay):
            problem = f'there is no lay "{lay}"' if lay else "lay is missing"
            raise cut.error(problem, "lay", f"Write {_LAYS}.")
        yield Cut(count, cloth, Lay(lay))
