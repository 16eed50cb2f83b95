"""Wishes -> tables in braces."""

from __future__ import annotations

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.pattern.errors import PatternError
from tiler.pattern.wishes import (
    CheckCloth,
    DartWish,
    FisheyeWish,
    GrainWish,
    MarkWish,
    NotchWish,
    Place,
)


def notch_words(wish: NotchWish) -> str:
    """A notch, as ``{ edge = "E", at = "250 mm" }``.

    Raises:
        PatternError: It names two edges, or neither a place nor an edge to meet.
    """
    if wish.at is not None and (wish.at.edge != wish.edge or wish.meets is not None):
        raise _unsayable("the notch names two edges or two places", wish.where)
    if wish.meets is not None:
        pairs = [("edge", toml_string(wish.edge)), ("meets", toml_string(str(wish.meets)))]
    elif wish.at is not None:
        pairs = _place(wish.at, wish.where)
    else:
        raise _unsayable("the notch has neither a place nor an edge to meet", wish.where)
    pairs += [("count", str(wish.count))] if wish.count is not None else []
    pairs += [("shape", toml_string(wish.shape))] if wish.shape else []
    return toml.inline(pairs)


def mark_words(wish: MarkWish) -> str:
    """A row of marks.

    Raises:
        PatternError: A place that is not one, or a distance for a single mark.
    """
    if wish.count == 1 and wish.apart:
        raise _unsayable("a single mark has a distance to the next", wish.where)
    pairs = [("kind", toml_string(wish.kind)), *_place(wish.at, wish.where)]
    pairs.append(("inside", toml.length(wish.inside)))
    pairs += [("size", toml.length(wish.size))] if wish.size is not None else []
    if wish.count != 1:
        pairs += [("count", str(wish.count)), ("apart", toml.length(wish.apart))]
    return toml.inline(pairs)


def dart_words(wish: DartWish | FisheyeWish) -> str:
    """A dart of either form.

    Raises:
        PatternError: A place that is not one, or a blend for an edge that does not give.
    """
    if isinstance(wish, FisheyeWish):
        ahead, back = wish.lengths
        return toml.inline(
            [
                *_place(wish.beside, wish.where, "beside"),
                ("inside", toml.length(wish.inside)),
                ("intake", toml.length(wish.intake)),
                ("lengths", f"[{toml.length(ahead)}, {toml.length(back)}]"),
            ]
        )
    if wish.blend and not wish.gives:
        raise _unsayable("the dart has a blend, but no edge gives", wish.where)
    pairs = [*_place(wish.at, wish.where), ("length", toml.length(wish.length))]
    if isinstance(wish.intake, CheckCloth):
        pairs.append(("cloth", _readings(wish.intake)))
    else:
        pairs.append(("intake", toml.length(wish.intake)))
    pairs.append(("pressed", toml_string(wish.pressed)))
    if wish.gives:
        pairs += [("gives", toml_string(wish.gives)), ("blend", toml.length(wish.blend))]
    pairs += [("slant", toml.angle(wish.slant))] if wish.slant else []
    return toml.inline(pairs)


def grain_words(wish: GrainWish) -> str:
    """The grainline: a letter, ``"fold"``, or a table with the turn."""
    along = toml_string(wish.along or "fold")
    if not wish.turn:
        return along
    return toml.inline([("along", along), ("turn", toml.angle(wish.turn))])


def _place(place: Place, where: str, edge: str = "edge") -> list[tuple[str, str]]:
    if (place.length is None) == (place.fraction is None):
        raise _unsayable("a place has a length and a share, or neither", where)
    pairs = [(edge, toml_string(place.edge))]
    if place.length is not None:
        pairs.append(("at", toml.length(place.length)))
    if place.fraction is not None:
        pairs.append(("at", toml.share(place.fraction)))
    return [*pairs, ("from", '"end"')] if place.from_end else pairs


def _readings(cloth: CheckCloth) -> str:
    return toml.inline(
        [
            ("flat", toml.length(cloth.flat)),
            ("sewn", toml.length(cloth.sewn)),
            ("repeats", str(cloth.repeats)),
        ]
    )


def _unsayable(problem: str, where: str) -> PatternError:
    return PatternError(
        f"{problem}, which a pattern folder has no words for",
        where=where,
        remedy="Write the piece's wishes so that the pattern file can say them.",
    )
