"""What is said of each cut of a lay plan: which piece, which copies, how its paper lies."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tiler.layout.cloth.model import Laid, LayPlan, Need
from tiler.pattern.affine import Point
from tiler.pattern.model import Pattern
from tiler.sheets.words import say


@dataclass(frozen=True)
class Told:
    """What is said of one cut.

    Args:
        number: Of the piece in the pattern.
        name: Of the piece.
        copies: Such as "1 + 2 of 4"; empty for the only one.
        states: How it lies: face down, on the fold, laid whole.
        grain: The direction of its grain on the cloth, towards its top, of length 1.
    """

    number: int
    name: str
    copies: str
    states: tuple[str, ...]
    grain: tuple[float, float]


def told_of(
    plan: LayPlan, needs: Sequence[Need], pattern: Pattern, language: str
) -> dict[Laid, Told]:
    """What is said of each cut of a plan.

    Args:
        plan: What is told.
        needs: What it was laid for.
        pattern: What the pieces belong to.
        language: Of the words.
    """
    numbers = {piece.name: number for number, piece in enumerate(pattern.pieces, start=1)}
    grains = {need.piece: need.grain for need in needs}
    every = [laid for part in plan.parts for laid in part.laid]
    totals: dict[str, int] = {}
    for laid in every:
        totals[laid.piece] = totals.get(laid.piece, 0) + pieces_of(laid)
    given: dict[str, int] = {}
    told: dict[Laid, Told] = {}
    for laid in every:
        first = given.get(laid.piece, 0) + 1
        last = given[laid.piece] = first + pieces_of(laid) - 1
        copies = f"{first} + {last}" if last > first else f"{first}"
        total = totals[laid.piece]
        text = say("lay_copy", language, copies=copies, total=total) if total > 1 else ""
        states = tuple(_states(laid, language))
        grain = _grain(laid, grains[laid.piece])
        told[laid] = Told(numbers[laid.piece], laid.piece, text, states, grain)
    return told


def pieces_of(laid: Laid) -> int:
    """How many pieces one cut gives: on the fold, two layers are one piece."""
    return 1 if laid.on_fold else laid.layers


def _states(laid: Laid, language: str) -> Iterator[str]:
    if laid.mirrored:
        yield say("lay_face_down", language)
    if laid.halved:
        yield say("lay_halved", language)
    if laid.on_fold:
        yield say("lay_on_fold", language)
    if laid.opened:
        yield say("lay_whole", language)


def _grain(laid: Laid, drawn: tuple[float, float]) -> tuple[float, float]:
    """Where the top of the piece points."""
    one, other = laid.at(Point(0, 0)), laid.at(Point(*drawn))
    return other.x - one.x, other.y - one.y
