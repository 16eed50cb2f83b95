"""The assembly map as a picture of its own, to look at on a screen while taping."""

from __future__ import annotations

from tiler.layout.plan import Plan
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import rectangle
from tiler.sheets.drawing import Fill, Group, Page
from tiler.sheets.heading import draw_heading
from tiler.sheets.listing import entries_of
from tiler.sheets.maplabels import Numbers
from tiler.sheets.mappage import draw_map_section

#: Width of the picture, the paper round everything, and the height that map and list have at
#: first: what a screen shows in one go; millimetres.
WIDE, EDGE, HIGH = 330.0, 10.0, 190.0
_GROWS = 1.25


def draw_map_picture(pattern: Pattern, plan: Plan, front: int | None = None) -> Page:
    """Title, order of taping, the map and the list of pieces on one page without a frame.

    Args:
        pattern: What is published.
        plan: Where it lies.
        front: How many pages of the file come before those of the pattern; None to leave the
            pages' numbers in the file out.

    Returns:
        A page as high as what is on it.
    """
    wide = Bounds(EDGE, -1e6, WIDE - EDGE, 0.0)
    head = draw_heading(pattern, plan, wide, about=False)
    numbers = Numbers.of(plan)
    entries = entries_of(plan, {}, front, numbers)
    high = HIGH
    while True:
        frame = wide._replace(top=head.top, bottom=head.top - high)
        section = draw_map_section(plan, frame, entries, numbers, 0.0, "map_picture")
        if section:
            break
        high *= _GROWS
    items, bottom = section
    height = EDGE - bottom + EDGE
    paper = Fill((rectangle(Bounds(0, 0, WIDE, height)),), 1.0)
    moved = Group((*head.items, *items), at=Affine.move(0, height - EDGE))
    return Page("map", WIDE, height, (Group((paper, moved), furniture=True),))
