"""All that a piece asks the drafter to do."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tiler.intake.tomltable import TomlTable, kind_of
from tiler.intake.tomlvalues import choice_in, degrees_in, flag_in, letter_in, letters_in
from tiler.intake.words.darts import dart_wishes
from tiler.intake.words.model import Letter
from tiler.intake.words.notches import mark_wishes, notch_wishes
from tiler.intake.words.stylenames import refuse_style_name
from tiler.pattern.wishes import DartWish, GrainWish, NotchShape, Paper, StyleWish, Wishes

KEYS = (
    "paper",
    "stitch_line",
    "press_darts",
    "styles",
    "grain",
    "notches",
    "marks",
    "darts",
)
_GRAIN = ("along", "turn")
_GRAIN_EXAMPLE = 'Write grain = "A", grain = "fold", or grain = { along = "A", turn = "45 deg" }.'


def wishes_in(
    table: TomlTable, pieces: Collection[str], *, stitch_line: bool, notch: NotchShape
) -> Wishes:
    """What a [[piece]] asks for.

    Args:
        table: The piece.
        pieces: Names of all pieces.
        stitch_line: What the pattern says of stitch lines; the piece may say otherwise.
        notch: The pattern's shape of notches.

    Raises:
        PatternError: A wish that cannot be read; with line, piece and key.
    """
    own = flag_in(table, "stitch_line")
    return Wishes(
        paper=choice_in(table, "paper", Paper) or Paper.HALF,
        stitch_line=stitch_line if own is None else own,
        press_darts=letter_in(table, "press_darts") if "press_darts" in table.data else "",
        notch_shape=notch,
        styles=tuple(_styles(table)),
        darts=tuple(dart_wishes(table)),
        notches=tuple(notch_wishes(table, pieces)),
        marks=tuple(mark_wishes(table)),
        grain=_grain(table),
    )


def letters_of(table: TomlTable, wishes: Wishes) -> Iterator[Letter]:
    """Every edge of the piece that its wishes name, each with its place."""
    if wishes.press_darts:
        yield Letter(wishes.press_darts, table.where("press_darts"))
    for style in wishes.styles:
        for letter in style.edges:
            yield Letter(letter, style.where)
    for dart in wishes.darts:
        if isinstance(dart, DartWish):
            yield Letter(dart.at.edge, f"{dart.where}, key edge")
            yield Letter(dart.pressed, f"{dart.where}, key pressed")
            if dart.gives:
                yield Letter(dart.gives, f"{dart.where}, key gives")
        else:
            yield Letter(dart.beside.edge, f"{dart.where}, key beside")
    for notch in wishes.notches:
        yield Letter(notch.edge, f"{notch.where}, key edge")
    for mark in wishes.marks:
        yield Letter(mark.at.edge, f"{mark.where}, key edge")
    if wishes.grain:
        yield Letter(wishes.grain.along, wishes.grain.where)


def _styles(table: TomlTable) -> Iterator[StyleWish]:
    styles = table.inner("styles")
    for style in styles.data:
        refuse_style_name(styles, style)
        yield StyleWish(style, letters_in(styles, style), styles.where(style))


def _grain(table: TomlTable) -> GrainWish | None:
    if "grain" not in table.data:
        return None
    value = table.data["grain"]
    if isinstance(value, dict):
        grain = table.under("grain", value)
        grain.only(_GRAIN)
        turn = degrees_in(grain, "turn", 180, "45 deg")
        return GrainWish(_along(letter_in(grain, "along")), turn, table.where("grain"))
    if not isinstance(value, str):
        raise table.error(
            f"grain is {kind_of(value)}, not the letter of an edge", "grain", _GRAIN_EXAMPLE
        )
    return GrainWish(_along(letter_in(table, "grain")), where=table.where("grain"))


def _along(word: str) -> str:
    return "" if word == "FOLD" else word
