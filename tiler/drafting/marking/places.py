"""Places on the edges of a stitch line, told in millimetres from the edge's start."""

from __future__ import annotations

import math

from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Piece
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import Place

#: A place may lie so far (millimetres) beyond the end of its edge and still mean the end.
BEYOND = 0.05


def stitch_rings(piece: Piece, where: str, what: str) -> tuple[Outline, ...]:
    """The stitch lines of a piece.

    Args:
        piece: With its stitch rings, one for each style.
        where: Who asks, for the message.
        what: What is measured on the stitch line, for the message.

    Raises:
        PatternError: They are not known, as the allowance is not.
    """
    if not piece.stitch:
        raise PatternError(
            f"{what} is measured on the stitch line, which is not known, since the seam allowance "
            "of the traced cut line is not said",
            where=where,
            remedy='Say it, with allowance = "15 mm" or 0 mm, or an allowance for every edge.',
        )
    return piece.stitch


def edge_named(outline: Outline, letter: str, where: str) -> Edge:
    """The edge with that letter.

    Raises:
        PatternError: There is none.
    """
    for edge in outline.edges:
        if edge.letter == letter:
            return edge
    letters = ", ".join(edge.letter for edge in outline.edges)
    raise PatternError(
        f'there is no edge "{letter}"', where=where, remedy=f"The outline has {letters}."
    )


def distance_along(edge: Edge, place: Place, where: str) -> float:
    """Millimetres from the start of an edge to a place on it.

    Args:
        edge: On the stitch line.
        place: By length or by share, from either end.
        where: Who asks, for the message.

    Raises:
        PatternError: The place is not said once, or is off the edge.
    """
    return sewn_distance(edge.path.length, edge.letter, place, where)


def sewn_distance(length: float, letter: str, place: Place, where: str) -> float:
    """Millimetres from the start of a line to a place on it.

    Args:
        length: Of the line: an edge, perhaps less the mouths of its darts.
        letter: Of the edge, for the message.
        place: By length or by share, from either end.
        where: Who asks, for the message.

    Raises:
        PatternError: As for `distance_along`.
    """
    if (place.length is None) == (place.fraction is None):
        raise PatternError(
            f"the place on edge {letter} is not said",
            where=where,
            remedy='Give its distance along the edge (at = "85 mm") or its share (at = "40 %").',
        )
    told = place.length if place.length is not None else (place.fraction or 0.0) * length
    end = "end" if place.from_end else "start"
    if not (math.isfinite(told) and -BEYOND <= told <= length + BEYOND):
        raise PatternError(
            f"{format_mm(told)} from its {end} is not on edge {letter}, whose stitch line is "
            f"{format_mm(length)} long",
            where=where,
            remedy="Give a place between the ends of the edge; edges run clockwise.",
        )
    along = length - told if place.from_end else told
    return min(max(along, 0.0), length)
