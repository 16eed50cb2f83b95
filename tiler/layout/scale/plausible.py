"""Readings that cannot be meant: a wrong unit, two that are swapped, or no bar at all."""

from __future__ import annotations

from itertools import permutations

from tiler.layout.scale.reading import Reading
from tiler.pattern.errors import MeasureError
from tiler.pattern.units import MM_PER_UNIT, format_mm

#: Beyond these no print setting goes: sixteen pages on one sheet make a quarter.
LEAST, MOST = 0.2, 5.0
#: How near to the ratio of two units a reading makes one suspect them. A print may be off too.
_NEAR = 0.06
#: Readings further off than this are looked at the other way round.
_SWAPPED = 0.1


def refuse_implausible(across: Reading, up: Reading) -> None:
    """See that two readings can be those of the two bars.

    Raises:
        MeasureError: They cannot; it says what was probably meant.
    """
    for reading, place in ((across, "the bar across"), (up, "the bar up")):
        _refuse_unit(reading, place)
    _refuse_swapped(across, up)
    for reading, place in ((across, "the bar across"), (up, "the bar up")):
        if not LEAST <= reading.axis.scale <= MOST:
            raise MeasureError(
                f"{format_mm(reading.measured, 2)} cannot be the bar of "
                f"{format_mm(reading.nominal, 2)}",
                where=place,
                remedy="Measure the long bar at the edge of the page, from its first end mark to "
                "its last.",
            )


def _refuse_unit(reading: Reading, place: str) -> None:
    ratio = reading.measured / reading.nominal
    for written, meant in permutations(("mm", "cm", "in"), 2):
        wrong = MM_PER_UNIT[written] / MM_PER_UNIT[meant]
        if abs(ratio / wrong - 1) <= _NEAR:
            number = reading.measured / MM_PER_UNIT[written]
            raise MeasureError(
                f"{number:.4g} {written} is far from the bar of {format_mm(reading.nominal, 2)}, "
                f"and {number:.4g} {meant} is near it: the unit is probably wrong",
                where=place,
                remedy=f'If {meant} is meant, write "{number:.4g} {meant}".',
            )


def _refuse_swapped(across: Reading, up: Reading) -> None:
    as_said = max(abs(across.axis.off), abs(up.axis.off))
    swapped = max(
        abs(up.measured / across.nominal - 1),
        abs(across.measured / up.nominal - 1),
    )
    if as_said > _SWAPPED and swapped < _SWAPPED and swapped < as_said / 2:
        raise MeasureError(
            f"{format_mm(across.measured, 2)} across and {format_mm(up.measured, 2)} up are "
            f"near the bars of {format_mm(up.nominal, 2)} and {format_mm(across.nominal, 2)}: "
            "the two readings are probably swapped",
            remedy="Across is along the short side of the paper, up along its long side.",
        )
