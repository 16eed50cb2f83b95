"""Telling of notches that stand outwards since the allowance has no room for a slit."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.notching.shapes import NARROWEST, is_slit
from tiler.intake.nearest import Seeker, nearest_of
from tiler.pattern.model import Finding, Mark, Piece, Role, Severity
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import NotchShape


def turned_outwards(before: Piece, after: Piece) -> Iterator[Finding]:
    """A note for a piece whose slits were drawn as wedges.

    Args:
        before: Without the notches that were put.
        after: With them.
    """
    if before.wishes.notch_shape is not NotchShape.SLIT:
        return
    asked = {wish.edge for wish in before.wishes.notches if wish.shape is NotchShape.WEDGE}
    old = set(before.marks)
    count = sum(
        1
        for mark in after.marks
        if mark.role is Role.NOTCH
        and mark not in old
        and not is_slit(mark.path)
        and _edge_of(mark, after) not in asked
    )
    if not count:
        return
    those = f"{count} notches stand" if count > 1 else "a notch stands"
    yield Finding(
        "notch-outwards",
        Severity.NOTE,
        after.place,
        f"Where the allowance is under {format_mm(NARROWEST)}, {those} out from the cut line as "
        "a wedge: a slit that stays 3 mm clear of the stitches has no room. Cut round it.",
    )


def _edge_of(mark: Mark, piece: Piece) -> str:
    edges = [edge for ring in piece.stitch for edge in ring.edges]
    return edges[nearest_of([Seeker(edge.path) for edge in edges], mark.at)[0]].letter
