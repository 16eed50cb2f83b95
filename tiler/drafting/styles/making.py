"""The rings of one style: its lines laid into the shared cut line and stitch line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.drafting.allowance import stitch_outline
from tiler.drafting.rings import refuse_unsound
from tiler.drafting.styles.joining import Joined, joined_up
from tiler.drafting.styles.landing import REACH, spot_on
from tiler.drafting.styles.lettering import base_letter
from tiler.drafting.styles.replacing import replaced
from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Line, Outline, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import StyleWish

#: A line that leaves the shared outline by more than this (millimetres) is a style's own.
_OWN = 0.01


@dataclass(frozen=True, slots=True)
class StyleRings:
    """What a style has: rings of either role, where they are known, and the lines they took."""

    stitch: Outline | None
    cut: Outline | None
    used: tuple[Line, ...]


def ring_of_style(piece: Piece, wish: StyleWish, place: str) -> StyleRings:
    """The rings of a style; see `with_styles`.

    Args:
        piece: With one outline, and at most one stitch ring.
        wish: The style and the edges that are its own.
        place: File and piece, for messages.

    Raises:
        PatternError: As for `with_styles`.
    """
    where = f"{place}, style {wish.style}"
    try:
        return _rings(piece, wish, where)
    except PatternError as told:
        if told.where.startswith(where):
            raise
        raise told.within(where) from None


def _rings(piece: Piece, wish: StyleWish, where: str) -> StyleRings:
    outline = piece.outlines[0]
    traced_cut = outline.role is Role.CUT
    stitch = piece.stitch[0] if piece.stitch else (None if traced_cut else outline)
    _refuse_unknown(wish, stitch or outline)
    own = [line for line in piece.lines if line.style == wish.style]
    cut_lines = [line for line in own if line.role is Role.CUT]
    stitch_lines = [line for line in own if line.role is Role.STITCH]
    if stitch and not traced_cut and cut_lines and not stitch_lines:
        raise PatternError(
            "its line is a cut line, and the outline is a stitch line",
            remedy=f"Give the line the class stitch style:{wish.style}: the allowance is added to "
            "it as to the rest.",
        )
    used: list[Line] = []
    cut = _styled(outline, wish, where, cut_lines, used) if traced_cut else None
    if stitch is None:
        return StyleRings(None, cut, tuple(used))
    if cut_lines and cut:
        return StyleRings(_with_cut_line(piece, wish, where, cut, used), cut, tuple(used))
    return StyleRings(
        _styled(stitch, wish, where, stitch_lines, used),
        None if stitch_lines else cut,
        tuple(used),
    )


def _with_cut_line(
    piece: Piece, wish: StyleWish, where: str, cut: Outline, used: list[Line]
) -> Outline:
    """The stitch ring of a style whose cut line is drawn; a drawn stitch line goes first."""
    stitch = piece.stitch[0]
    drawn = [line for line in piece.lines if line.style == wish.style and line.role is Role.STITCH]
    taken: list[Line] = []
    try:
        if drawn:
            ring = _styled(stitch, wish, where, drawn, taken)
            used += taken
            return ring
    except PatternError:
        # A stitch line that does not reach the stitch ring is no edge: it stays as drawn.
        pass
    # Only here: cutlines is the step after this one, and needed for one width alone.
    from tiler.drafting.cutlines import widths_of

    inside = stitch_outline(cut, widths_of(cut, piece))
    ring = replace(stitch, style=wish.style)
    for path, letters in _own_paths(piece.outlines[0], cut, inside):
        ring = replaced(ring, path, letters | set(wish.edges))
    _refuse_crossing(ring, where)
    return ring


def _own_paths(shared: Outline, cut: Outline, inside: Outline) -> list[tuple[Path, set[str]]]:
    """Rows of edges of the inner ring whose outer edges leave the shared one, with letters."""
    seeker = Seeker(shared.path)
    own = [_leaves(edge, seeker) for edge in cut.edges]
    if all(own):
        raise PatternError(
            "it shares no edge with the outline",
            remedy="Draw it as a piece of its own, or trace stitch lines.",
        )
    rows: list[tuple[list[Edge], set[str]]] = []
    first = own.index(False)
    count = len(own)
    for number in (*range(first, count), *range(first)):
        if not own[number]:
            continue
        if not own[number - 1]:
            rows.append(([], set()))
        rows[-1][0].append(inside.edges[number])
        rows[-1][1].add(base_letter(cut.edges[number].letter))
    return [
        (Path(tuple(s for edge in edges for s in edge.path.segments)), letters)
        for edges, letters in rows
    ]


def _leaves(edge: Edge, shared: Seeker) -> bool:
    length = edge.path.length
    places = (edge.path.point_at(length * share)[0] for share in (0.1, 0.3, 0.5, 0.7, 0.9))
    return any(shared.nearest(point).distance > _OWN for point in places)


def _styled(
    ring: Outline, wish: StyleWish, where: str, lines: Sequence[Line], used: list[Line]
) -> Outline:
    """The ring with a style's lines laid in, one after the other."""
    ring = replace(ring, style=wish.style)
    if not lines:
        return ring
    base = {edge.letter: edge.path for edge in ring.edges}
    _refuse_closed(lines)
    waiting = joined_up(lines)
    while True:
        fitting = next((line for line in waiting if _gap(ring, line.path) <= REACH), None)
        if fitting is None:
            break
        waiting.remove(fitting)
        ring = replaced(ring, fitting.path, wish.edges)
        used += fitting.lines
    left = [
        edge.letter
        for edge in ring.edges
        if edge.letter in wish.edges and edge.path == base.get(edge.letter)
    ]
    if left and waiting:
        raise _off(ring, waiting)
    if left:
        raise PatternError(
            f"edge {', '.join(left)} is said to be its own, and none of its lines replaces it",
            remedy="Draw its line there too, or take the letter out of styles.",
        )
    _refuse_crossing(ring, where)
    return ring


def _gap(ring: Outline, path: Path) -> float:
    """Millimetres from the further end of a line to the ring."""
    return max(spot_on(ring, path.start).off, spot_on(ring, path.end).off)


def _off(ring: Outline, waiting: Sequence[Joined]) -> PatternError:
    ends: list[tuple[float, Point]] = []
    for line in waiting:
        for point in (line.path.start, line.path.end):
            ends.append((spot_on(ring, point).off, point))
    off, point = max(ends)
    return PatternError(
        f"its line ends at ({point.x:.1f}, {point.y:.1f}) mm from the lower left of the drawing, "
        f"{format_mm(off)} from the {ring.role} line of the piece",
        remedy="Draw it from one place on the outline to another; ends within 0.5 mm are moved "
        "onto it.",
    )


def _refuse_closed(lines: Sequence[Line]) -> None:
    if any(line.path.closed for line in lines):
        raise PatternError(
            "its line is closed",
            remedy="Draw only what differs, open, from one place on the outline to another; or "
            "draw a closed outline for every style, and leave styles out of the piece.",
        )


def _refuse_unknown(wish: StyleWish, ring: Outline) -> None:
    known = [edge.letter for edge in ring.edges]
    for letter in wish.edges:
        if letter not in known:
            raise PatternError(
                f'there is no edge "{letter}"',
                remedy=f"The outline has {', '.join(known)}, clockwise from the lower left.",
            )


def _refuse_crossing(ring: Outline, where: str) -> None:
    if ring.path.area >= 0:
        raise PatternError(
            "its line turns the outline inside out",
            remedy="Draw the line along the edge that it replaces, clear of the other edges.",
        )
    try:
        refuse_unsound(ring, where.removesuffix(f", style {ring.style}"))
    except PatternError as told:
        raise PatternError(
            f"with its own line, {told.problem}",
            where=told.where,
            remedy="Draw the line clear of the edges that stay.",
        ) from None
