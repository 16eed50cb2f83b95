"""The wished notches of one style of a piece, on the cut line."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.marking.places import sewn_distance
from tiler.drafting.notching.foot import Rings
from tiler.drafting.notching.shapes import notch
from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Mark, Part, Piece
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import NotchWish

#: Millimetres between the two of a double notch, within the 6 to 12 mm that are common practice
#: (no source).
APART = 8.0
#: A notch may stand beyond the end of its edge by rounding, in millimetres.
_ROUNDING = 1e-6


def usual_count(piece: Piece) -> int:
    """Single on a front, double on a back, single where the part is not said."""
    return 2 if piece.part is Part.BACK else 1


def put(
    wish: NotchWish, piece: Piece, rings: Rings, sewn: SewnEdge, middle: float, count: int
) -> Iterator[Mark]:
    """The notches of one place.

    Args:
        wish: For its shape and for messages.
        piece: That it stands on.
        rings: Of one style.
        sewn: The edge, with its darts closed.
        middle: Millimetres along the sewn edge, from its clockwise start.
        count: How many, 8 mm apart, with their middle at the place.

    Raises:
        PatternError: One would stand beyond the end of the edge, or on a fold.
    """
    edge = sewn.edge
    if edge.lies is Lies.FOLD:
        raise PatternError(
            f"edge {edge.letter} lies on the fold and cannot be notched",
            where=wish.where,
            remedy="Put the notch on the edge beside it, at its end on the fold.",
        )
    shape = wish.shape or piece.wishes.notch_shape
    for number in range(count):
        along = middle + (number - (count - 1) / 2) * APART
        if not -_ROUNDING <= along <= sewn.length + _ROUNDING:
            raise PatternError(
                f"one of {count} notches {format_mm(APART)} apart would stand beyond the end of "
                f"edge {edge.letter}",
                where=wish.where,
                remedy=f"Put their middle {format_mm((count - 1) / 2 * APART)} from the corner at "
                "least, or take one notch.",
            )
        at = edge.path.length if along >= sewn.length else _on_path(sewn, along)
        yield notch(rings.foot(edge, at, wish.where), shape, rings.style)


def _on_path(sewn: SewnEdge, along: float) -> float:
    """Millimetres on the edge's path, clockwise, of a place on the sewn edge, clockwise."""
    return sewn.along(sewn.length - along if sewn.backwards else along)


def at_place(wish: NotchWish, sewn: SewnEdge) -> float:
    """Where the wish's own place lies, in millimetres along the sewn edge.

    Raises:
        PatternError: It is off the edge.
    """
    assert wish.at is not None
    return sewn_distance(sewn.length, sewn.edge.letter, wish.at, wish.where)
