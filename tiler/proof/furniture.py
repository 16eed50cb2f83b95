"""What stands on a page beside the pattern: measures of the right size, and nothing unmarked."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.proof.geometry import Floats
from tiler.proof.placing import Placed, marked_strokes
from tiler.proof.record import START
from tiler.proof.verdict import Fault

#: A measure may be off by this much, mm; it is drawn from numbers, not measured on cloth.
_TRUE = 0.01
_SQUARES = ((100.0, 100.0), (101.6, 101.6))


def measure_faults(page: Sequence[Placed], name: str) -> list[Fault]:
    """Check bars and calibration squares: every one as long as it says, none missing."""
    faults: list[Fault] = []
    declared: list[tuple[float, float]] = []
    for mark, strokes in marked_strokes(list(page)):
        if mark.measure is None:
            continue
        declared.append(mark.measure)
        size: Floats = np.ptp(strokes.reshape(-1, 2), axis=0)
        off = float(np.abs(size - np.array(mark.measure)).max())
        if not off <= _TRUE:
            text = f"the {_words(*mark.measure)} is {size[0]:.2f} x {size[1]:.2f} mm"
            faults.append(Fault("measure", name, text, off))
    if name == START:
        for square in _SQUARES:
            if not any(_near(square, size) for size in declared):
                text = f"the {_words(*square)} is not there"
                faults.append(Fault("measure", name, text))
        return faults
    if not any(width > 0 and height == 0 for width, height in declared):
        faults.append(Fault("measure", name, "there is no check bar across"))
    if not any(width == 0 and height > 0 for width, height in declared):
        faults.append(Fault("measure", name, "there is no check bar up"))
    return faults


def loose_faults(page: Sequence[Placed], name: str) -> list[Fault]:
    """Text, pictures and filled areas that are not marked as furniture."""
    loose: set[str] = set()
    for placed in page:
        if not placed.around.furniture:
            loose |= placed.ink.loose
    if not loose:
        return []
    things = " and ".join(sorted(loose))
    return [Fault("extra", name, f"there is {things} outside the furniture and the pattern")]


def _words(width: float, height: float) -> str:
    if width and height:
        return f"calibration square of {width:g} x {height:g} mm"
    return f"check bar of {max(width, height):g} mm {'across' if width else 'up'}"


def _near(one: tuple[float, float], other: tuple[float, float]) -> bool:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1])) <= _TRUE
