"""Drawn notches, carried from the stitch line to the cut line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tiler.drafting.marking.across import once
from tiler.drafting.notching.foot import Rings
from tiler.drafting.notching.shapes import Foot, notch
from tiler.pattern.model import Mark, Role, styles_in
from tiler.pattern.segment import direction
from tiler.pattern.wishes import NotchShape

#: How far (millimetres) a notch may end from the line that it stands on.
STANDS = 0.5


def carried(
    marks: Sequence[Mark], rings: Sequence[Rings], shape: NotchShape, where: str
) -> Iterator[Mark]:
    """The marks of a piece with the notches that stand on the stitch line carried outwards.

    A notch on the cut line stays as drawn. One on the stitch line is drawn anew on the cut line,
    square to it. A style whose line does not pass there does not get it. A notch that stands on
    no line at all stays as drawn.

    Args:
        marks: In any order; it is kept.
        rings: Of the piece's styles.
        shape: How notches are drawn.
        where: File and piece.

    Raises:
        PatternError: Square to the stitch line there is no cut line.
    """
    styles = [each.style for each in rings if each.style]
    for mark in marks:
        named = styles_in(mark.style)
        own = [each for each in rings if not named or not each.style or each.style in named]
        if mark.role is not Role.NOTCH or not own:
            yield mark
            continue
        stood = [
            made if not each.style else replace(made, style=each.style)
            for each in own
            if (made := _on(mark, each, shape, where)) is not None
        ]
        if not stood:
            yield mark
        elif styles:
            yield from once(stood, styles)
        else:
            yield replace(stood[0], style=mark.style)


def _on(mark: Mark, rings: Rings, shape: NotchShape, where: str) -> Mark | None:
    if rings.on_paper.nearest(mark.at, STANDS).distance <= STANDS:
        return mark
    foot = foot_of(mark, rings, where)
    return notch(foot, shape, mark.style) if foot else None


def foot_of(mark: Mark, rings: Rings, where: str) -> Foot | None:
    """The foot on the cut line of a notch that stands on the stitch line; None if it does not."""
    near = rings.on_seam.nearest(mark.at, STANDS)
    if near.distance > STANDS:
        return None
    x, y = direction(rings.seam.segments[near.segment], near.t)
    return rings.square_out(near.point, (-y, x), where)
