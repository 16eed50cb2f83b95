"""The darts of a piece: those that the maker asks for, and those that are drawn."""

from __future__ import annotations

from dataclasses import replace

from tiler.drafting.darts.across import merged
from tiler.drafting.darts.joined import joined_legs
from tiler.drafting.darts.onering import darted
from tiler.drafting.marking.places import stitch_rings
from tiler.pattern.model import Finding, Piece, Role


def with_darts(piece: Piece) -> tuple[Piece, tuple[Finding, ...]]:
    """Put the wished darts into the stitch line, and true and cap the drawn ones.

    Places of wished darts are those on the traced outline, before any dart is put in. First the
    darts are opened that an edge gives width for; all that stands on the outline goes along:
    other darts with their drill marks, and notches. Then mouths are cut for the others, and last
    all legs are trued and caps put on. A drawn dart is capped where the maker says which way it
    is pressed, and otherwise left as drawn. What is drawn inside of the piece stays where it is.

    Args:
        piece: With its stitch rings, edges lettered as traced.

    Returns:
        The piece with changed stitch rings, with a line for every dart, its drill marks, and
        notches that moved with the outline standing on the stitch line; and what was noticed.

    Raises:
        PatternError: A dart that cannot be put in or capped; with its place.
    """
    wishes = piece.wishes
    has_drawn = any(line.role is Role.DART for line in piece.lines)
    if not wishes.darts and not has_drawn and not wishes.press_darts:
        return piece, ()
    if not piece.stitch:
        if not wishes.darts and not wishes.press_darts:
            return piece, ()
        stitch_rings(piece, piece.place, "a dart")
    piece = replace(piece, lines=joined_legs(piece.lines))
    done = [darted(ring, piece) for ring in piece.stitch]
    rings = tuple(each.ring for each in done)
    styles = [ring.style for ring in rings]
    lines = merged([each.lines for each in done], styles)
    marks = merged([each.marks for each in done], styles)
    findings = dict.fromkeys(finding for each in done for finding in each.findings)
    made = replace(piece, stitch=rings, lines=tuple(lines), marks=tuple(marks))
    return made, tuple(findings)
