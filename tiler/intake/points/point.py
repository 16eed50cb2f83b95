"""One measured point, and lengths as spreadsheets and rulers write them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from tiler.pattern.affine import Point
from tiler.pattern.errors import LengthError
from tiler.pattern.units import parse_length

_SIGN = re.compile(r"\s*([+\-−–]?)\s*(.*)", re.DOTALL)
_UNIT_AT_END = re.compile(r"[a-zA-Z\"”″]+\s*$")
#: Longest distance from the origin that a row can mean (millimetres).
FARTHEST = 10_000.0


class Kind(StrEnum):
    """What stands at a point."""

    CORNER = "corner"
    CURVE = "curve"
    NOTCH = "notch"
    DRILL = "drill"
    GRAIN = "grain"


KINDS = "corner, curve, notch, drill or grain"


@dataclass(frozen=True, slots=True)
class Measured:
    """A point that was measured.

    Args:
        at: Millimetres, y up.
        kind: What stands there.
        where: Line or row, for messages.
        name: The maker's word for it, or empty.
    """

    at: Point
    kind: Kind
    where: str
    name: str = ""

    @property
    def place(self) -> str:
        """Where to look, with its name if it has one."""
        return f"{self.where} ({self.name})" if self.name else self.where


def length_in(text: str, unit: str) -> float:
    """A coordinate in millimetres.

    Args:
        text: Such as ``53.5``, ``53,5``, ``5 3/8``, ``-2 cm``; a comma is a decimal comma.
        unit: What counts where the text has none; empty when nobody has said.

    Raises:
        LengthError: It is no number, has no unit, or is out of all proportion.
    """
    match = _SIGN.fullmatch(text)
    sign, rest = (match[1], match[2]) if match else ("", text)
    if "," in rest and "." in rest:
        raise LengthError(
            f"{text.strip()!r} has a point and a comma",
            remedy="Write one of them, before the decimals, and nothing between the thousands.",
        )
    if rest.count(",") == 1:
        rest = rest.replace(",", ".")
    if not _UNIT_AT_END.search(rest):
        if not unit:
            raise LengthError(
                f"{text.strip()!r} has no unit",
                remedy="Write the unit once at the head of the column, as in x (cm), or x (in).",
            )
        rest = f"{rest} {unit}"
    length = parse_length(rest)
    if length > FARTHEST:
        raise LengthError(
            f"{text.strip()!r} is more than {FARTHEST / 1000:g} m", remedy="Check its unit."
        )
    return -length if sign in ("-", "−", "–") else length
