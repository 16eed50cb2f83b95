"""What is asked of the allowances, checked before any geometry."""

from __future__ import annotations

import math
from collections.abc import Mapping

from tiler.drafting.rings import LARGEST, refuse_unsound
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Role
from tiler.pattern.wishes import Finish

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


def checked_finishes(
    outline: Outline, finishes: Mapping[tuple[str, str], Finish]
) -> list[tuple[Finish, bool]]:
    """The finish of the corner at the end of every edge, and whether that edge leads it.

    Raises:
        PatternError: Two letters that are not neighbours, a corner finished twice, or a mirrored
            corner at which it is not said which edge is the hem.
    """
    _refuse_unknown(outline, [letter for pair in finishes for letter in pair])
    left = dict(finishes)
    found = []
    for edge, after in _corners(outline):
        named = (edge.letter, after.letter)
        said = left.pop(named, None)
        first = True
        # In a ring of two edges the other order names the other corner.
        if len(outline.edges) > 2 and named[::-1] in left:
            if said is not None:
                raise PatternError(
                    "the corner is finished twice",
                    where=f"edges {named[0]} and {named[1]}",
                    remedy="Name the two edges once.",
                )
            said, first = left.pop(named[::-1]), False
        finish = said or Finish.MITRE
        if Lies.FOLD in (edge.lies, after.lies):
            finish = Finish.MITRE
        if finish is Finish.REFLECTED:
            first = _hem_is_second(edge, after)
        found.append((finish, first))
    for one, two in left:
        raise PatternError(
            "the two edges are not neighbours",
            where=f"edges {one} and {two}",
            remedy="Name an edge and the next one clockwise.",
        )
    return found


def _hem_is_second(edge: Edge, after: Edge) -> bool:
    if (edge.lies is Lies.HEM) == (after.lies is Lies.HEM):
        many = "both" if edge.lies is Lies.HEM else "neither"
        raise PatternError(
            f"a corner is to be mirrored in the hem, but {many} of its edges is a hem",
            where=f"edges {edge.letter} and {after.letter}",
            remedy="Say which one is turned up, or finish this corner with a mitre.",
        )
    return after.lies is Lies.HEM


def _refuse_unknown(outline: Outline, letters: object) -> None:
    known = [edge.letter for edge in outline.edges]
    for letter in letters:  # type: ignore[attr-defined]
        if letter not in known:
            raise PatternError(
                "there is no such edge",
                where=f"edge {letter}",
                remedy=f"The edges are {', '.join(known)}.",
            )


def _corners(outline: Outline) -> list[tuple[Edge, Edge]]:
    return list(zip(outline.edges, (*outline.edges[1:], outline.edges[0]), strict=True))
