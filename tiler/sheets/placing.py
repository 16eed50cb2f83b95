"""All that lies on the sheets before they are cut into pages: lines, and the words on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.model import Pattern
from tiler.sheets.culling import Windows
from tiler.sheets.drawing import Fill, Group, Item, Stroke
from tiler.sheets.extent import word_shapes
from tiler.sheets.ground import Ground
from tiler.sheets.layers import LayerNames
from tiler.sheets.piece import DrawnPiece, draw_piece
from tiler.sheets.piecewords import Body, Sign, Written, write_on
from tiler.sheets.repeats import repeat_names
from tiler.sheets.room import Room, as_line

#: Free paper round words on a piece, millimetres.
_ROUND = 1.0


@dataclass(frozen=True)
class Laid:
    """A piece on the sheet.

    Args:
        drawn: Its lines.
        body: Its paper.
        written: Its words.
    """

    drawn: DrawnPiece
    body: Body
    written: Written


def lay_pieces(pattern: Pattern, plan: Plan, names: LayerNames) -> tuple[list[Laid], Room]:
    """Every piece with its words, and the room that is left on the sheet.

    Args:
        pattern: What is published.
        plan: Where it lies.
        names: The layers.
    """
    ground = Ground.of(plan)
    laid = []
    for placement in plan.placements:
        drawn = draw_piece(placement, pattern, names)
        body = Body.of(placement)
        laid.append(Laid(drawn, body, write_on(placement, pattern, body, drawn.lines, ground)))
    signs = [sign for each in laid for sign in each.written.signs]
    lines: list[BaseGeometry] = [line for each in laid for line in each.drawn.lines]
    lines += [line for sign in signs for line in _lines(sign.items)]
    room = Room(lines)
    for sign in signs:
        for shape in word_shapes(sign.items, STILL, _ROUND):
            room.take_shape(shape)
    return laid, room


def _lines(items: Sequence[Item]) -> list[BaseGeometry]:
    return [
        as_line(path) for item in items if isinstance(item, Stroke | Fill) for path in item.paths
    ]


@dataclass(frozen=True)
class Shown:
    """What of a piece a page shows.

    Args:
        drawn: The piece.
        parts: Indices of its parts whose ink comes into the window.
        signs: Its words of which something is in the window.
    """

    drawn: DrawnPiece
    parts: frozenset[int]
    signs: tuple[Sign, ...]

    def lines(self, to_page: Affine) -> Item:
        """The piece's lines, page coordinates; there is one part at least."""
        return self.drawn.showing(self.parts, to_page)

    def words(self, names: LayerNames) -> Group:
        """The piece's words, sheet coordinates, in its own layer and those of its styles."""
        items: list[Item] = []
        for sign in self.signs:
            if sign.style:
                items.append(Group(sign.items, layers=names.of(sign.style)))
            else:
                items += sign.items
        return Group(tuple(items), layers=(self.drawn.layer,))


def pages_of(laid: Sequence[Laid], plan: Plan, room: Room) -> list[dict[Cell, Shown]]:
    """What each page of a plan shows of each piece; large pieces get their name on every page.

    Args:
        laid: As many as the plan has placements.
        plan: The pages.
        room: What is free on the sheet; the places of the names are taken in it.
    """
    windows = Windows([plan.grid.window(cell) for cell in plan.cells])
    pages = []
    for each, placement in zip(laid, plan.placements, strict=True):
        parts: dict[Cell, set[int]] = {}
        reaches = [(n, reach) for n, part in enumerate(each.drawn.parts) for reach in part.reaches]
        lines, halves = [reach.line for _, reach in reaches], [reach.half for _, reach in reaches]
        for (number, _), found in zip(reaches, windows.showing(lines, halves), strict=True):
            for index in found:
                parts.setdefault(plan.cells[index], set()).add(number)
        near = windows.showing([each.body.all])[0]
        cells = [plan.cells[index] for index in sorted(near)]
        again = repeat_names(placement.piece, each.body, each.written.label, plan, cells, room)
        signs: dict[Cell, list[Sign]] = {}
        areas = [(sign, area) for sign in (*each.written.signs, *again) for area in sign.areas]
        for (sign, _), found in zip(
            areas, windows.showing([area for _, area in areas]), strict=True
        ):
            for index in found:
                here = signs.setdefault(plan.cells[index], [])
                if not here or here[-1] is not sign:
                    here.append(sign)
        pages.append(
            {
                cell: Shown(each.drawn, frozenset(parts.get(cell, ())), tuple(signs.get(cell, ())))
                for cell in plan.cells
                if cell in parts or cell in signs
            }
        )
    return pages
