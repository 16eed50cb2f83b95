"""A ring for every style of a piece, from the one traced ring and the styles' own lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tiler.drafting.styles.making import ring_of_style
from tiler.drafting.styles.replacing import both_ways
from tiler.intake.tomlwords import toml_key
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Line, Piece, Role, Severity
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import StyleWish


def with_styles(piece: Piece) -> tuple[Piece, tuple[Finding, ...]]:
    """Give every wished style a ring of its own.

    Each ring is the shared one with the style's own lines instead of the edges that
    `Wishes.styles` names. A style without a line has the shared ring itself. Lines of the ring's
    own role are used: stitch lines on the stitch ring, cut lines on the cut ring. Where only a cut
    line is drawn, the stitch line of the style runs inside it at the edges' allowances.

    Args:
        piece: One outline, and one stitch ring if that is known.

    Returns:
        The piece: `stitch` has a ring a style, in the order of the wishes; so has `outlines`
        where they are stitch lines, or where no style draws its line as a stitch line. Lines that
        became edges are no longer in `lines`. And what was noticed: lines of styles that are not
        wished for here.

    Raises:
        PatternError: A line does not end on the outline, does not replace the edges that are
            named, or makes the outline cross itself; with file, piece and style.
    """
    place = piece.place
    wishes = _together(piece.wishes.styles)
    findings = tuple(_not_named(piece, {wish.style for wish in wishes}, place))
    if not wishes:
        return piece, findings
    rings = piece.stitch or piece.outlines
    if any(outline.style for outline in (*rings, *piece.outlines)) or len(rings) != 1:
        raise PatternError(
            "every style has an outline of its own already",
            where=wishes[0].where or place,
            remedy="Take styles out of the piece, or draw one outline for all styles and for each "
            "only the line that differs.",
        )
    made = [ring_of_style(piece, wish, place) for wish in wishes]
    used = [line for each in made for line in each.used]
    findings += tuple(_doubtful(piece, wishes, used, place))
    cut = tuple(each.cut for each in made if each.cut)
    stitch = tuple(each.stitch for each in made if each.stitch)
    if piece.outlines[0].role is Role.STITCH:
        outlines = stitch
        stitch = stitch if piece.stitch else ()
    else:
        outlines = cut if len(cut) == len(made) else piece.outlines
    lines = tuple(line for line in piece.lines if not any(line is other for other in used))
    return replace(piece, stitch=stitch, outlines=outlines, lines=lines), findings


def _doubtful(
    piece: Piece, wishes: Sequence[StyleWish], used: Sequence[Line], place: str
) -> Iterator[Finding]:
    """Lines that may stand for either side of the outline."""
    letters = {wish.style: wish.edges for wish in wishes}
    for line in used:
        rings = piece.stitch if line.role is Role.STITCH and piece.stitch else piece.outlines
        try:
            lengths = both_ways(rings[0], line.path, letters[line.style])
        except PatternError:
            # One of several parts of a line, which does not reach the outline at both ends.
            continue
        if lengths:
            yield Finding(
                "style-line-both-ways",
                Severity.NOTE,
                f"{place}, style {line.style}",
                f"Its line fits in place of {format_mm(lengths[0])} of the outline or of "
                f"{format_mm(lengths[1])} on the other side of it; the shorter part is replaced. "
                "If that is wrong, mark a corner where the line starts and name the other edge.",
            )


def _together(wishes: Sequence[StyleWish]) -> list[StyleWish]:
    """One wish a style."""
    found: dict[str, StyleWish] = {}
    for wish in wishes:
        before = found.get(wish.style)
        edges = (*before.edges, *wish.edges) if before else wish.edges
        found[wish.style] = replace(before or wish, edges=tuple(dict.fromkeys(edges)))
    return list(found.values())


def _not_named(piece: Piece, named: set[str], place: str) -> Iterator[Finding]:
    if any(outline.style for outline in piece.outlines):
        return
    role = piece.outlines[0].role
    styles = (line.style for line in piece.lines if line.role is role)
    for style in dict.fromkeys(styles):
        if style and style not in named:
            yield Finding(
                "style-line-only",
                Severity.NOTE,
                place,
                f'The line of the style "{style}" is printed as drawn, beside the outline. For an '
                "outline, an allowance and checks of its own, say which edges it replaces: "
                f'styles = {{ {toml_key(style)} = "B" }}.',
            )
