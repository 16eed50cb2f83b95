"""Darts that a piece asks for: in an edge, or with two tips inside."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.intake.tomltable import TomlTable
from tiler.intake.tomlvalues import above_zero, degrees_in, letter_in, place_in
from tiler.pattern.wishes import CheckCloth, DartWish, FisheyeWish

_IN_EDGE = (
    "edge",
    "at",
    "from",
    "length",
    "intake",
    "cloth",
    "pressed",
    "gives",
    "blend",
    "slant",
)
_INSIDE = ("beside", "at", "from", "inside", "intake", "lengths")
_CLOTH = ("flat", "sewn", "repeats")
_EXAMPLE = (
    'darts = [{ edge = "B", at = "90 mm", length = "95 mm", intake = "25 mm", pressed = "A" }]'
)
_READINGS = 'cloth = { flat = "12.5 mm", sewn = "9.5 mm", repeats = 10 }'
#: A dart that leans further (degrees) would lie along its edge.
MOST_SLANT = 80


def dart_wishes(table: TomlTable) -> Iterator[DartWish | FisheyeWish]:
    """The darts that a [[piece]] asks for.

    Raises:
        PatternError: Both forms at once or neither, a measure that is missing or not one.
    """
    for dart in table.tables("darts", "dart", _EXAMPLE):
        if "edge" in dart.data and "beside" in dart.data:
            raise dart.error(
                "a dart has both edge and beside",
                "beside",
                "Keep edge for a dart that starts at an edge, or beside for one with two tips.",
            )
        if "beside" in dart.data:
            yield _fisheye(dart)
        elif "edge" in dart.data:
            yield _in_edge(dart)
        else:
            dart.only((*_IN_EDGE, *_INSIDE))
            raise dart.error(
                "a dart names no edge",
                "edge",
                'Write edge = "B" for a dart that starts there, or beside = "A" for one with two '
                "tips.",
            )


def _in_edge(dart: TomlTable) -> DartWish:
    dart.only(_IN_EDGE)
    at = place_in(dart)
    pressed = letter_in(dart, "pressed")
    gives = letter_in(dart, "gives") if "gives" in dart.data else ""
    for key, letter in (("pressed", pressed), ("gives", gives)):
        if letter == at.edge:
            raise dart.error(
                f"{key} names the dart's own edge {letter}",
                key,
                "Name one of the two edges beside it.",
            )
    if "blend" in dart.data and not gives:
        raise dart.error(
            "blend is given, but no edge gives", "blend", 'Add gives = "C", or leave blend out.'
        )
    return DartWish(
        at=at,
        length=above_zero(dart, "length", "95 mm"),
        intake=_intake(dart),
        pressed=pressed,
        gives=gives,
        blend=above_zero(dart, "blend", "150 mm") if gives else 0.0,
        slant=degrees_in(dart, "slant", MOST_SLANT, "5 deg"),
        where=dart.where(),
    )


def _intake(dart: TomlTable) -> float | CheckCloth:
    if "intake" in dart.data and "cloth" in dart.data:
        raise dart.error(
            "a dart has both intake and cloth",
            "cloth",
            "Keep intake for a known width, or cloth for readings off a checked cloth.",
        )
    if "cloth" not in dart.data:
        if "intake" not in dart.data:
            raise dart.error(
                "a dart has neither intake nor cloth",
                "intake",
                f'Write intake = "25 mm", or {_READINGS}.',
            )
        return above_zero(dart, "intake", "25 mm")
    cloth = dart.inner("cloth")
    cloth.only(_CLOTH)
    flat = above_zero(cloth, "flat", "12.5 mm")
    sewn = cloth.length("sewn")
    if sewn is None:
        raise cloth.error("sewn is missing", "sewn", 'Write sewn = "9.5 mm".')
    if sewn >= flat:
        raise cloth.error(
            f"a repeat measures {sewn:g} mm across the sewn dart and {flat:g} mm flat, so the "
            "dart takes nothing in",
            "sewn",
            f"Measure again; sewn is the smaller one, as in {_READINGS}.",
        )
    return CheckCloth(flat, sewn, cloth.count("repeats"))


def _fisheye(dart: TomlTable) -> FisheyeWish:
    dart.only(_INSIDE)
    value = dart.data.get("lengths")
    remedy = 'Write lengths = ["110 mm", "130 mm"], to the tip ahead and to the one behind.'
    if not isinstance(value, list) or len(value) != 2:
        problem = "lengths is missing" if value is None else "lengths is not two lengths"
        raise dart.error(problem, "lengths", remedy)
    ahead, back = (dart.length_of("lengths", each) for each in value)
    if not ahead or not back:
        raise dart.error("one of the lengths is nothing", "lengths", remedy)
    return FisheyeWish(
        beside=place_in(dart, "beside"),
        inside=above_zero(dart, "inside", "70 mm"),
        intake=above_zero(dart, "intake", "20 mm"),
        lengths=(ahead, back),
        where=dart.where(),
    )
