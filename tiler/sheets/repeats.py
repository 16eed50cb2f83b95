"""The name of a large piece on each of its pages, so that no page is just lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Piece
from tiler.sheets.ground import JOINT
from tiler.sheets.label import Block, fitted, repeated_lines
from tiler.sheets.labelling import WORDS_AT_JOINTS, Turned, turns_for
from tiler.sheets.lettering import BODY, READ, SMALL
from tiler.sheets.piecewords import Body, Sign
from tiler.sheets.room import Room

#: A page on which a piece has more than this share of the page's part of the sheet has its name.
BIG = 0.2
#: Type sizes, and widths at which lines are broken, best first, millimetres.
_SIZES = (READ, BODY, SMALL)
_WIDTHS = (80.0, 50.0, 32.0)
#: How many places are tried for each.
_SPOTS = 400


def repeat_names(
    piece: Piece, body: Body, label: Sign, plan: Plan, cells: Sequence[Cell], room: Room
) -> Iterator[Sign]:
    """Name, how to cut, and where the whole label is, on each page that holds much of a piece.

    Not on the page of the label itself. What every style keeps of the piece comes first, as for
    the label.

    Args:
        piece: Whose name it is.
        body: Its paper.
        label: Its label.
        plan: The pages.
        cells: The pages that show something of the piece.
        room: What is on the sheet; the places of the words are taken in it.
    """
    said = shapely.union_all(label.areas)
    home = _home(plan, cells, said)
    turns = tuple(dict.fromkeys((0.0, *turns_for(body.all))))
    blocks = _blocks(piece, home.name if home else "")
    for cell in cells:
        core = plan.grid.core(cell)
        here = shapely.clip_by_rect(body.all, *core)
        if cell == home or here.area <= BIG * core.width * core.height:
            continue
        sign = _placed(body, blocks, turns, core, room)
        if sign:
            yield sign


def _blocks(piece: Piece, home: str) -> list[Block]:
    """The words in all sizes and widths, best first, each shape once."""
    blocks = [
        fitted(repeated_lines(piece, home, size, widest)) for size in _SIZES for widest in _WIDTHS
    ]
    return list(dict.fromkeys(blocks))


def _home(plan: Plan, cells: Sequence[Cell], said: BaseGeometry) -> Cell | None:
    """The page that prints the label; None where it is nowhere."""
    middle = Bounds(*said.centroid.coords[0], *said.centroid.coords[0])
    return next((cell for cell in cells if plan.grid.core(cell).holds(middle)), None)


def _placed(
    body: Body, blocks: Sequence[Block], turns: Sequence[float], core: Bounds, room: Room
) -> Sign | None:
    areas = (body.kept,) if body.kept is body.all else (body.kept, body.all)
    for margin, air in ((JOINT + WORDS_AT_JOINTS, 2.0), (JOINT, 0.8)):
        frame = core.grown(-margin)
        for area in areas:
            here = area & shapely.box(*frame)
            if here.is_empty:
                continue
            turned = {turn: Turned(here, turn) for turn in turns}
            # Mostly the best block finds a place; where it does not, often none does.
            for some in (blocks[:1], blocks[1:]):
                sign = _first(some, turned, frame, room, air)
                if sign:
                    return sign
    return None


def _first(
    blocks: Sequence[Block], turned: Mapping[float, Turned], frame: Bounds, room: Room, air: float
) -> Sign | None:
    """The first of the blocks that finds a place in one of the turns."""
    if not blocks:
        return None
    spots = {
        turn: room.clear([there.boxes([frame], block, _SPOTS) for block in blocks], air, turn)
        for turn, there in turned.items()
    }
    for number, block in enumerate(blocks):
        for turn, there in turned.items():
            spot = room.first_untaken(there.in_order(spots[turn][number]), turn)
            if spot is not None:
                return Sign(tuple(block.placed(spot, turn)))
    return None
