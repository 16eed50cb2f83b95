"""The list of pieces beside the map: number, name, and the pages that each is on."""

from __future__ import annotations

from tiler.layout.ink import chords_of, inked, moved
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.path import Bounds
from tiler.sheets.assembly import RING, numbered_ring
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, leading_of, wrapped
from tiler.sheets.words import say

_SIZE = SMALL + 0.5


def pages_of(plan: Plan) -> list[tuple[str, tuple[str, ...]]]:
    """Each piece's name and the names of the pages that it puts ink on, in page order."""
    return [
        (
            placement.piece.name,
            tuple(
                cell.name
                for cell in sorted(
                    inked(plan.grid, moved(chords_of(placement.piece), placement.at)),
                    key=lambda cell: (cell.row, cell.column),
                )
            ),
        )
        for placement in plan.placements
    ]


def draw_listing(plan: Plan, frame: Bounds) -> tuple[list[Item], float]:
    """A heading and an entry for each piece; what does not fit is counted in a last line.

    Returns:
        The items, and the height used.
    """
    top = frame.top - height_of(BODY)
    items: list[Item] = [Words(say("pieces_title"), Point(frame.left, top), BODY, bold=True)]
    top -= 2.2
    entries = pages_of(plan)
    indent = 2 * RING + 1.6
    for number, (name, pages) in enumerate(entries, start=1):
        lines = wrapped(f"{name}: {' '.join(pages)}", _SIZE, frame.width - indent)
        height = max(len(lines) * leading_of(_SIZE), 2 * RING) + 0.9
        last = number == len(entries)
        if top - height < frame.bottom + (0 if last else leading_of(_SIZE)):
            text = say("pieces_more", count=len(entries) - number + 1)
            items.append(Words(text, Point(frame.left, top - height_of(_SIZE) - 0.6), _SIZE))
            break
        items += numbered_ring(number, Point(frame.left + RING, top - RING))
        down = top - RING - height_of(_SIZE) / 2
        for line in lines:
            items.append(Words(line, Point(frame.left + indent, down), _SIZE))
            down -= leading_of(_SIZE)
        top -= height
    return items, frame.top - top
