"""Places that were laid by hand, as a person would write them."""

from __future__ import annotations

from typing import Any

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.pattern.placed import Placed, PlacedPiece


def placed_table(placed: Placed) -> toml.Table:
    """The table [[placed]] of a paper."""
    table = toml.Table("[[placed]]")
    for key, value in placed_values(placed).items():
        table.say(key, _spelled(key, value))
    return table


def placed_values(placed: Placed) -> dict[str, Any]:
    """The same as a TOML parser gives it: texts, numbers, lists and tables."""
    values: dict[str, Any] = {
        "on": placed.on,
        "orientation": "landscape" if placed.landscape else "portrait",
        "margin": _mm(placed.margin),
        "overlap": _mm(placed.overlap),
    }
    if placed.styles:
        values["styles"] = list(placed.styles)
    return values | {"pieces": [_piece(each) for each in placed.pieces]}


def _piece(piece: PlacedPiece) -> dict[str, Any]:
    return {
        "piece": piece.piece,
        "sheet": piece.sheet,
        "page": piece.page,
        "at": [_mm(length) for length in piece.at],
        "turn": f"{toml.number(piece.turn)} deg",
    }


def _mm(length: float) -> str:
    return f"{toml.number(length)} mm"


def _spelled(key: str, value: Any) -> str:
    if isinstance(value, dict):
        return toml.inline([(name, _spelled("", each)) for name, each in value.items()])
    if isinstance(value, list):
        values = [_spelled("", each) for each in value]
        return toml.listed(values, key) if key == "pieces" else f"[{', '.join(values)}]"
    return str(value) if isinstance(value, int) else toml_string(value)
