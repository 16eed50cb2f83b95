"""What is asked of the allowances, checked before any geometry."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from tiler.drafting.allowance.finish import MITRED, CornerFinish
from tiler.drafting.rings import LARGEST, refuse_unsound
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Role

#: Edges that follow one another may leave this much (millimetres) between them.
_CLOSED = 1e-3


def checked_ring(outline: Outline, role: Role) -> None:
    """Refuse an outline that is not a clockwise ring of that role.

    Raises:
        PatternError: Wrong role, no edges, a letter twice, a gap, the wrong way round, or unsound.
    """
    if outline.role is not role:
        raise PatternError(
            f"the outline is a {outline.role} line",
            remedy=f"Give the {role} line.",
        )
    letters = [edge.letter for edge in outline.edges]
    if not letters or len(set(letters)) < len(letters):
        raise PatternError(
            "the outline has an edge letter twice" if letters else "the outline has no edges",
            where=", ".join(sorted({letter for letter in letters if letters.count(letter) > 1})),
            remedy="Letter its edges A, B, C … clockwise.",
        )
    for edge, after in _corners(outline):
        if not edge.path.end.to(after.path.start) <= _CLOSED:
            raise PatternError(
                "the edges do not meet",
                where=f"edges {edge.letter} and {after.letter}",
                remedy="Close the outline.",
            )
    refuse_unsound(outline, f"{role} line")
    if outline.path.area > 0:
        raise PatternError(
            "the edges run anticlockwise", where=f"{role} line", remedy="Turn the outline round."
        )


def checked_widths(outline: Outline, widths: Mapping[str, float]) -> list[float]:
    """The width of every edge, in the outline's order, in millimetres.

    Raises:
        PatternError: One is missing, belongs to no edge, is not a number, negative or over 20 m.
    """
    _refuse_unknown(outline, widths)
    found = []
    for edge in outline.edges:
        width = widths.get(edge.letter)
        if width is None:
            raise PatternError(
                "no seam allowance is given",
                where=f"edge {edge.letter}",
                remedy="Give one for every edge, 0 on a fold or a raw edge.",
            )
        if not 0 <= width <= LARGEST or not math.isfinite(width):
            raise PatternError(
                f"{width} mm is not a seam allowance",
                where=f"edge {edge.letter}",
                remedy="Give a length from 0 mm up.",
            )
        found.append(float(width))
    return found


def checked_finishes(outline: Outline, finishes: Mapping[str, CornerFinish]) -> list[CornerFinish]:
    """The finish of the corner at the end of every edge, in the outline's order.

    Raises:
        PatternError: A letter that belongs to no edge.
    """
    _refuse_unknown(outline, finishes)
    return [
        MITRED if Lies.FOLD in (edge.lies, after.lies) else finishes.get(edge.letter, MITRED)
        for edge, after in _corners(outline)
    ]


def _refuse_unknown(outline: Outline, letters: Iterable[str]) -> None:
    known = [edge.letter for edge in outline.edges]
    for letter in letters:
        if letter not in known:
            raise PatternError(
                "there is no such edge",
                where=f"edge {letter}",
                remedy=f"The edges are {', '.join(known)}.",
            )


def _corners(outline: Outline) -> list[tuple[Edge, Edge]]:
    return list(zip(outline.edges, (*outline.edges[1:], outline.edges[0]), strict=True))
