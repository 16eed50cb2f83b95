"""The stitch line and the cut line of a piece, each made from the other.

The rule of the trade: what is sewn is the stitch line, and the seam allowance is the cloth outside
of it, square to it at every place and as wide as this one seam needs. Nothing is added on a fold,
since the cloth goes on there, and nothing on an edge that is left raw. An allowance that is turned
up, as at a hem, has to lie flat on the piece, so it is a mirror image of it; other corners run on
to a point that is blunted when it would be long. All of this is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from tiler.drafting.allowance import CornerFinish, Finish, cut_outline, stitch_outline
from tiler.drafting.seamlines import seam_lines, without_old_seams
from tiler.intake.edges import CORNER_TURN
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Piece, Role
from tiler.pattern.segment import turn_between

#: Of two different finishes that a corner's edges ask for, the earlier one here is made.
_STRONGEST = (Finish.REFLECTED, Finish.SQUARE, Finish.MITRE)


def widths_of(outline: Outline, piece: Piece) -> dict[str, float]:
    """The seam allowance of every edge.

    An edge's own allowance comes first. Without one, it is 0 on a fold and on a raw edge, and the
    piece's allowance on all others.

    Args:
        outline: A ring of the piece.
        piece: The piece, for its allowance and for messages.

    Returns:
        Letter -> millimetres, for all edges.

    Raises:
        PatternError: The allowance of an edge is not known.
    """
    amounts = {edge.letter: piece.allowance_of(edge) for edge in outline.edges}
    unknown = [letter for letter, width in amounts.items() if width is None]
    if unknown:
        edges = "edges" if len(unknown) > 1 else "edge"
        raise PatternError(
            "the seam allowance is not known",
            where=f"{_place(piece, outline)}, {edges} {', '.join(unknown)}",
            remedy='Give the pattern or the piece an allowance, such as allowance = "15 mm", or '
            "these edges their own in allowances.",
        )
    return {letter: width for letter, width in amounts.items() if width is not None}


def _says_nothing(outline: Outline, piece: Piece) -> bool:
    """Whether no allowance is given for any edge that needs one."""
    needs = [edge for edge in outline.edges if edge.lies not in (Lies.FOLD, Lies.RAW)]
    unsaid = all(edge.allowance is None for edge in outline.edges)
    return piece.allowance is None and unsaid and bool(needs)


def finishes_of(outline: Outline) -> dict[str, CornerFinish]:
    """How every corner is finished, from what its two edges ask for.

    A corner beside a fold has nothing to finish. Else what is said of an edge (`Edge.finish`)
    counts at both its ends. Where nothing is said, a hem asks to be reflected unless the other
    edge is a hem too, and all other corners are mitred. Only a corner of more than 30 degrees is
    reflected: where the line runs on, nothing crosses it. Where both edges say something different,
    reflected comes before square, and square before mitre: cloth that does not lie flat spoils the
    garment, and a bulky corner does not. Where both say the same, the edge that comes first
    clockwise is the one that is sewn first.

    Returns:
        Letter of the edge that ends at the corner -> its finish, for all corners.
    """
    after = (*outline.edges[1:], *outline.edges[:1])
    return {
        edge.letter: _corner(edge, following)
        for edge, following in zip(outline.edges, after, strict=True)
    }


def _corner(edge: Edge, after: Edge) -> CornerFinish:
    if Lies.FOLD in (edge.lies, after.lies):
        return CornerFinish(Finish.MITRE)
    asked = edge.finish, after.finish
    turns = abs(turn_between(edge.path.segments[-1], after.path.segments[0])) > CORNER_TURN
    if asked == (None, None) and Lies.HEM in (edge.lies, after.lies) and edge.lies != after.lies:
        asked = (None, Finish.REFLECTED) if after.lies is Lies.HEM else (Finish.REFLECTED, None)
    possible = _STRONGEST if turns else _STRONGEST[1:]
    finish = next((finish for finish in possible if finish in asked), Finish.MITRE)
    if finish is Finish.REFLECTED:
        # The edge that asks is turned up last; the other one is its side.
        return CornerFinish(finish, first=asked[1] is finish)
    return CornerFinish(finish, first=asked[0] is finish)


def with_stitch(piece: Piece) -> Piece:
    """Find the stitch line of a piece as traced.

    Returns:
        The piece with `stitch` filled: the traced outlines themselves where they are stitch lines,
        else the traced cut lines less their allowances. A traced cut line with no allowance known,
        or one whose allowance cannot be taken off, keeps an empty `stitch` as long as nothing
        that is asked for stands on the stitch line.

    Raises:
        PatternError: Something is asked for that stands on the stitch line, and it cannot be
            found inside the traced cut line; with file, piece, style and edge.
    """
    if all(outline.role is Role.STITCH for outline in piece.outlines):
        return replace(piece, stitch=piece.outlines)
    try:
        return replace(piece, stitch=_inside(piece))
    except PatternError as told:
        if not _needs_stitch(piece):
            return piece
        raise type(told)(
            f"the stitch line inside the traced cut line is not known: {told.problem}",
            where=told.where,
            remedy=told.remedy,
        ) from None


def _inside(piece: Piece) -> tuple[Outline, ...]:
    found = []
    for outline in piece.outlines:
        widths = widths_of(outline, piece)
        with _told_of(piece, outline):
            found.append(stitch_outline(outline, widths))
    return tuple(found)


def _needs_stitch(piece: Piece) -> bool:
    wishes = piece.wishes
    return bool(
        wishes.stitch_line
        or wishes.press_darts
        or wishes.styles
        or wishes.darts
        or wishes.notches
        or wishes.marks
    )


def with_cut(piece: Piece) -> Piece:
    """Draw the cut line round the stitch line, and the lines to sew and to fold on.

    A traced cut line whose stitch line is as it was stays as drawn, and a piece traced by its cut
    line gets stitch and hem lines only where the maker wants them (`Wishes.stitch_line`) and has
    not drawn a stitch line. Drawn stitch lines that darts or styles have moved are drawn anew.

    Args:
        piece: With `stitch` as in `with_stitch`, or changed since by darts and styles.

    Returns:
        The piece with a cut line in `outlines` for every ring of `stitch`, in the same order, and
        with more `lines` (`seam_lines`). Of a piece whose allowance is not said at all, `outlines`
        are the stitch lines. Edges keep letter, name and all that is said of them.

    Raises:
        PatternError: The allowance of an edge is not known while another one's is, or the cut
            line would overlap itself; with file, piece, style and edge.
    """
    if not piece.stitch:
        return piece
    traced_cut = piece.outlines[0].role is Role.CUT
    traced = with_stitch(piece).stitch
    if traced_cut and piece.stitch == traced:
        return _with_seams(piece) if _wants_seams(piece) else piece
    if any(_says_nothing(outline, piece) for outline in piece.stitch):
        return replace(piece, outlines=piece.stitch)
    made = replace(piece, outlines=tuple(_cut(outline, piece) for outline in piece.stitch))
    if not traced_cut:
        return _with_seams(made)
    lines = without_old_seams(piece.lines, traced)
    if lines == piece.lines and not _wants_seams(piece):
        return made
    return _with_seams(replace(made, lines=lines))


def _cut(outline: Outline, piece: Piece) -> Outline:
    widths = widths_of(outline, piece)
    with _told_of(piece, outline):
        return cut_outline(outline, widths, finishes_of(outline))


def _wants_seams(piece: Piece) -> bool:
    drawn = any(line.role is Role.STITCH for line in piece.lines)
    return piece.wishes.stitch_line and not drawn


def _with_seams(piece: Piece) -> Piece:
    widths = [widths_of(outline, piece) for outline in piece.stitch]
    return replace(piece, lines=(*piece.lines, *seam_lines(piece.stitch, widths, piece.lines)))


@contextmanager
def _told_of(piece: Piece, outline: Outline) -> Iterator[None]:
    try:
        yield
    except PatternError as told:
        raise told.within(_place(piece, outline)) from None


def _place(piece: Piece, outline: Outline) -> str:
    return f"{piece.place}, style {outline.style}" if outline.style else piece.place
