"""The layers of ASTM D6673, "Sewn Products Pattern Data Interchange - Data Format"."""

from __future__ import annotations

from enum import IntEnum

from tiler.pattern.model import Role


class Layer(IntEnum):
    """What a layer's number says. Source: ASTM D6673, the table of layers [from memory]."""

    BOUNDARY = 1
    TURN = 2
    CURVE = 3
    NOTCH = 4
    GRADE_REFERENCE = 5
    MIRROR = 6
    GRAIN = 7
    INTERNAL = 8
    STRIPE = 9
    PLAID = 10
    CUTOUT = 11
    DRILL = 13
    SEW = 14
    ANNOTATION = 15
    T_NOTCH = 80
    CASTLE_NOTCH = 81
    CHECK_NOTCH = 82
    U_NOTCH = 83
    BOUNDARY_CHECK = 84
    INTERNAL_CHECK = 85
    CUTOUT_CHECK = 86
    SEW_CHECK = 87


#: Layers whose lines are lines on the piece, and what these are for when nothing else is said.
LINE_ROLES = {Layer.INTERNAL: Role.INSIDE, Layer.CUTOUT: Role.CUT, Layer.SEW: Role.STITCH}
#: A notch keeps its place whatever its shape is.
NOTCHES = frozenset(
    (Layer.NOTCH, Layer.T_NOTCH, Layer.CASTLE_NOTCH, Layer.CHECK_NOTCH, Layer.U_NOTCH)
)
#: Layers on which points, and on which lines, say something.
POINTS = NOTCHES | {Layer.TURN, Layer.CURVE, Layer.DRILL}
LINES = NOTCHES | LINE_ROLES.keys() | {Layer.BOUNDARY, Layer.MIRROR, Layer.GRAIN, Layer.DRILL}
#: Layers of the standard that hold nothing a Pattern has a place for.
WITHOUT_PLACE = {
    Layer.GRADE_REFERENCE: "grade reference lines",
    Layer.STRIPE: "stripe reference lines",
    Layer.PLAID: "plaid reference lines",
    Layer.BOUNDARY_CHECK: "validation curves",
    Layer.INTERNAL_CHECK: "validation curves",
    Layer.CUTOUT_CHECK: "validation curves",
    Layer.SEW_CHECK: "validation curves",
}

#: The name under which extended data are ours: what the standard's layers cannot say.
APPLICATION = "BLOCKSHEET"


def layer_of(name: str) -> Layer | None:
    """The layer that a name such as ``8`` or ``08`` means; None when the standard has none."""
    digits = name.strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 4):
        return None
    try:
        return Layer(int(digits))
    except ValueError:
        return None
