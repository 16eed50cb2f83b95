"""The unit of a DXF file."""

from __future__ import annotations

from collections.abc import Sequence

from ezdxf.document import Drawing

from tiler.intake.dxf.drawn import Field
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Finding, Severity

#: The words of ASTM D6673's field "Units" [from memory], in millimetres.
UNIT_WORDS = {"metric": 1.0, "english": 25.4}
#: Values of $INSUNITS. Source: DXF Reference, HEADER section.
INSERT_UNITS = {1: 25.4, 4: 1.0, 5: 10.0, 6: 1000.0}
#: Beyond this share a line that states its length has been scaled.
SCALE_WITHIN = 0.001
_REMEDY = 'Put a text "Units: METRIC" (millimetres) or "Units: ENGLISH" (inches) beside the pieces.'


def unit_of(fields: Sequence[Field], drawing: Drawing, name: str) -> tuple[float, list[Finding]]:
    """Millimetres in one unit of the drawing: by the text "Units", else by $INSUNITS.

    Args:
        fields: All fields of the file.
        drawing: The file.
        name: Its name, for messages.

    Raises:
        DrawingError: Neither says it, or texts contradict one another.
    """
    words = list(dict.fromkeys(f.value.lower() for f in fields if f.key == "units" and f.value))
    header = drawing.header.get("$INSUNITS", 0)
    stated = INSERT_UNITS.get(header) if isinstance(header, int) else None
    known = list(dict.fromkeys(UNIT_WORDS[word] for word in words if word in UNIT_WORDS))
    if len(known) > 1:
        raise DrawingError(
            "the unit is given both as METRIC and as ENGLISH",
            where=name,
            remedy="Keep the text that is right.",
        )
    if known:
        return known[0], _contradicted(known[0], stated, name)
    if words:
        raise DrawingError(
            f'the unit "{words[0][:30]}" is not one that ASTM D6673 knows',
            where=f"{name}, text Units",
            remedy=_REMEDY,
        )
    if stated is None:
        raise DrawingError("the file does not say its unit", where=name, remedy=_REMEDY)
    return stated, []


def _contradicted(told: float, stated: float | None, name: str) -> list[Finding]:
    if stated is None or stated == told:
        return []
    return [
        Finding(
            "units-differ",
            Severity.WARNING,
            name,
            f"The text Units says that a unit is {told:g} mm, the header ($INSUNITS) {stated:g} "
            "mm. The text is believed. Measure a printed line before you cut.",
        )
    ]
