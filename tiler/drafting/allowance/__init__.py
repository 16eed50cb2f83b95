"""Seam allowance: the cut line round a stitch line, and the stitch line inside a cut line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from tiler.drafting.allowance.asked import checked_finishes, checked_ring, checked_widths
from tiler.drafting.allowance.assemble import edge_paths
from tiler.drafting.allowance.cleaned import cleaned
from tiler.drafting.allowance.finish import MITRE_LIMIT, MITRED, CornerFinish
from tiler.drafting.allowance.order import in_order
from tiler.drafting.allowance.ring import Corner, Side, raw_ring
from tiler.drafting.allowance.untangle import untangled
from tiler.drafting.rings import refuse_unsound
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.wishes import Finish

__all__ = ["MITRED", "MITRE_LIMIT", "CornerFinish", "Finish", "cut_outline", "stitch_outline"]

#: Inwards a corner gets its full point back, whatever the angle; needles sharper than 1.1 degrees
#: are not corners.
_POINT_LIMIT = 100.0

_NO_FINISHES: Mapping[str, CornerFinish] = MappingProxyType({})


def cut_outline(
    stitch: Outline,
    widths: Mapping[str, float],
    finishes: Mapping[str, CornerFinish] = _NO_FINISHES,
) -> Outline:
    """Add the seam allowance: the cut line round a stitch line.

    Every edge is offset by its own width as a curve, fitted with cubics within 0.02 mm; straight
    lines stay straight. Neighbours meet where their offsets, run on straight if need be, cross.
    A fold has the width 0: its neighbours end on its own straight continuation, so that the
    opened piece is continuous. So they do on a raw edge, unless that runs on almost straight and
    would take their allowance off over more than its width: then they end square to the corner.
    Allowances too different to meet within three widths of a nearly straight corner are joined by
    a step, square to the wider one. What a hollow curve tighter than its allowance, or a short
    edge, leaves in loops is removed.

    Args:
        stitch: Role STITCH, edges clockwise.
        widths: Letter of every edge -> allowance in millimetres; 0 on a fold or a raw edge.
        finishes: Letter of an edge -> how the corner at its end is finished; mitred where nothing
            is said, at corners that are not convex, and beside a fold.

    Returns:
        Role CUT, same style, the same edges in the same order. Each edge's path is its offset and
        its part of the corner: to a mitre's point, to the middle of a blunted one, to the inner
        end of a square, and with the mirrored part inside the hem's allowance for the side. An
        edge that its neighbours swallow (no longer than two of the allowances around it) keeps
        0.1 mm of the cut line at the place where they meet.

    Raises:
        PatternError: A letter is missing or not known, a width is negative or not a number, the
            outline is not a clockwise ring, or the allowances overlap; with edge and place.
    """
    checked_ring(stitch, Role.STITCH)
    amounts = checked_widths(stitch, widths)
    corners = {
        number: Corner(asked.finish, asked.first, MITRE_LIMIT)
        for number, asked in enumerate(checked_finishes(stitch, finishes))
    }
    sides = [
        Side(_line(edge.path, amount), amount, f"edge {edge.letter}", edge.lies is Lies.FOLD)
        for edge, amount in zip(stitch.edges, amounts, strict=True)
    ]
    return _outline(stitch, Role.CUT, _offset(sides, corners, -1))


def stitch_outline(cut: Outline, widths: Mapping[str, float]) -> Outline:
    """Take the seam allowance off: the stitch line inside a cut line.

    Args:
        cut: Role CUT, edges clockwise.
        widths: Letter of every edge -> allowance in millimetres; 0 on a fold or a raw edge.

    Returns:
        Role STITCH, same style, the same edges in the same order, all corners plain. Mitred,
        blunted and mirrored corners of `cut_outline` lead back to the stitch corner; after a step
        or a square the line is right but its corner is not where it was.

    Raises:
        PatternError: As for `cut_outline`; also when nothing is left or the piece falls apart.
    """
    checked_ring(cut, Role.CUT)
    amounts = checked_widths(cut, widths)
    # Walked the other way, inside is on the left: one rule for both.
    sides = [
        Side(_line(edge.path.reversed(), amount), amount, f"edge {edge.letter}", keeps=amount == 0)
        for edge, amount in zip(reversed(cut.edges), reversed(amounts), strict=True)
    ]
    corners = {n: Corner(Finish.MITRE, True, _POINT_LIMIT) for n in range(len(sides))}
    paths = [path.reversed() for path in reversed(_offset(sides, corners, 1))]
    return _outline(cut, Role.STITCH, paths)


def _line(path: Path, width: float) -> Path:
    """What an offset is taken of; a line without an allowance stays as it is."""
    return cleaned(path) if width else path


def _offset(sides: list[Side], corners: Mapping[int, Corner], turning: int) -> list[Path]:
    ring = raw_ring(sides, corners)
    kept = in_order(ring, untangled(ring, turning, sides), sides, outwards=turning < 0)
    return edge_paths(ring, kept, sides)


def _outline(source: Outline, role: Role, paths: list[Path]) -> Outline:
    edges: tuple[Edge, ...] = tuple(
        replace(edge, path=path) for edge, path in zip(source.edges, paths, strict=True)
    )
    made = Outline(role, edges, source.style)
    try:
        refuse_unsound(made, f"{role} line with its allowance")
    except PatternError as told:
        raise PatternError(
            told.problem,
            where=told.where,
            remedy="Take narrower allowances there, or part the edges further.",
        ) from None
    return made
