"""The list of pieces beside the map: number, name, and the pages that each is on."""

from __future__ import annotations

from collections.abc import Mapping

from tiler.layout.ink import chords_of, inked, moved
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.path import Bounds
from tiler.sheets.assembly import RING, numbered_ring
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, leading_of, wrapped
from tiler.sheets.words import say

_SIZE = SMALL + 0.5

#: What a label had no room for: name of the piece -> the maker's notes.
Notes = Mapping[str, tuple[str, ...]]


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


def draw_listing(
    plan: Plan, frame: Bounds, notes: Notes, columns: int = 1
) -> tuple[list[Item], float]:
    """A heading and an entry for each piece: pages, and notes that its label had no room for.

    Args:
        plan: Where the pieces lie.
        frame: Where to draw, from the top; entries that do not fit run below it.
        notes: Name of a piece -> what its label does not say.
        columns: Into how many columns the entries are dealt.

    Returns:
        The items, and the height used.
    """
    top = frame.top - height_of(BODY)
    items: list[Item] = [Words(say("pieces_title"), Point(frame.left, top), BODY, bold=True)]
    top -= 2.2
    width = (frame.width - (columns - 1) * 5.0) / columns
    indent = 2 * RING + 1.6
    entries = []
    for name, pages in pages_of(plan):
        lines = wrapped(f"{name}: {' '.join(pages)}", _SIZE, width - indent)
        for note in notes.get(name, ()):
            lines += wrapped(note, _SIZE, width - indent)
        entries.append((lines, max(len(lines) * leading_of(_SIZE), 2 * RING) + 0.9))
    tall = max(sum(height for _, height in entries) / columns, *(h for _, h in entries))
    left, down, used = frame.left, top, 0.0
    for number, (lines, height) in enumerate(entries, start=1):
        if down < top and top - down + height > tall + 0.01 and left + 2 * width < frame.right + 9:
            left, down = left + width + 5.0, top
        items += numbered_ring(number, Point(left + RING, down - RING))
        baseline = down - RING - height_of(_SIZE) / 2
        for line in lines:
            items.append(Words(line, Point(left + indent, baseline), _SIZE))
            baseline -= leading_of(_SIZE)
        down -= height
        used = max(used, top - down)
    return items, frame.top - top + used
