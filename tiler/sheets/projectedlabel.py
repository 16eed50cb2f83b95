"""Words on the pieces that a projector shows: large, and clear of every line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.windows import Shown
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Pattern, Piece, Role, styles_in
from tiler.pattern.path import Path
from tiler.sheets.allowances import allowance_words
from tiler.sheets.drawing import Item, Words
from tiler.sheets.extent import word_boxes
from tiler.sheets.label import Block, LabelLine, fitted, how_to_cut, state_words
from tiler.sheets.labelling import spots_in, turns_for
from tiler.sheets.lettering import evenly, height_of, width_of
from tiler.sheets.places import boxes_in, nearest_first
from tiler.sheets.projectedpens import NAME, READ, size_of
from tiler.sheets.projectedpiece import cloth_of, open_cloth_of
from tiler.sheets.room import Room, as_line
from tiler.sheets.upright import corners_along, upright
from tiler.sheets.words import say

#: Widths at which lines are broken, best first, mm.
_WIDTHS = (420.0, 300.0, 210.0, 150.0, 110.0)
#: How far words keep from lines, and from the line that they are about, mm.
_AIR, _CLEAR = 5.0, 7.0
#: Words under a small piece may be so wide, mm.
_LEAST = 160.0
#: Between a piece and the words under it, mm.
_BELOW = 6.0
#: What rounding may add to a place, mm.
_ROUNDING = 1e-6
#: How many places are tried.
_SPOTS = 900
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
#: Shorter parts of a line are understood from their neighbours, mm.
_SHORTEST = 60.0


def label_on(shown: Shown, pattern: Pattern, room: Room, field: Bounds) -> list[Item]:
    """Name, how to cut and allowance within the part of a piece that is seen; empty without room.

    Args:
        shown: The piece on the mat.
        pattern: What it belongs to.
        room: What is on the mat; the label is taken.
        field: The part of the mat that shows pieces.
    """
    return _within(shown, (_full(shown, pattern), _short(shown)), room, field)


def name_on(shown: Shown, room: Room, field: Bounds) -> list[Item]:
    """The name alone within the part of a piece that is seen; empty without room."""
    return _within(shown, (_name(shown.piece),), room, field)


def _within(
    shown: Shown, wordings: Iterable[Iterable[Block]], room: Room, field: Bounds
) -> list[Item]:
    seen = open_cloth_of(shown.piece, shown.at).intersection(shapely.box(*field))
    if seen.is_empty:
        return []
    turns = turns_for(seen)
    for wording in wordings:
        blocks = list(wording)
        for turn in turns:
            for block in blocks:
                spots = spots_in(seen, [field], block, turn, _SPOTS)
                spot = room.first_free(spots, _AIR, turn)
                if spot is not None:
                    return block.placed(spot, turn)
    return []


def label_under(
    shown: Shown, pattern: Pattern, room: Room, box: Bounds, field: Bounds | None
) -> list[Item]:
    """The same words under the piece; empty where they would leave the field.

    Args:
        shown: The piece on the mat.
        pattern: What it belongs to.
        room: What is on the mat; the label is taken.
        box: What the pieces take, and words under them that are there already.
        field: The part of the mat that shows pieces; None where it has no end.
    """
    blocks = _full(shown, pattern)
    block = min(blocks, key=lambda each: (each.width > max(box.width, _LEAST), each.height))
    top = box.bottom - _BELOW
    spot = Bounds(box.left, top - block.height, box.left + block.width, top)
    if field and not field.grown(_ROUNDING).holds(spot):
        return []
    room.take(spot)
    return block.placed(spot)


def label_beside(shown: Shown, pattern: Pattern, room: Room, field: Bounds) -> list[Item]:
    """The same words where the mat is free, as near to the piece as can be; empty without room."""
    near = cloth_of(shown.piece, shown.at).intersection(shapely.box(*field))
    if near.is_empty:
        return []
    for block in (*_full(shown, pattern), *_short(shown)):
        boxes = boxes_in(field, block.width, block.height, 10.0)
        if len(boxes):
            spot = room.first_free(nearest_first(boxes, Bounds(*near.bounds).centre), _AIR)
            if spot is not None:
                return block.placed(spot)
    return []


def room_of(items: list[Item], box: Bounds) -> Bounds:
    """A box with the words in it or under it."""
    for each in word_boxes(tuple(items), Affine()):
        box = box.joined(each)
    return box


def _block(texts: list[tuple[str, float, bool]], widest: float) -> Block:
    return fitted(
        [
            LabelLine(part, size_of(capitals), bold)
            for text, capitals, bold in texts
            for part in evenly(text, size_of(capitals), widest, bold=bold)
        ]
    )


def _full(shown: Shown, pattern: Pattern) -> Iterator[Block]:
    piece = shown.piece
    cuts = [(text, READ, True) for text in _cuts(shown)]
    facts = [*state_words(piece, pattern, short=True), allowance_words(piece)]
    texts = [(piece.name, NAME, True), *cuts, *((text, READ, False) for text in facts)]
    for widest in _WIDTHS:
        yield _block(texts, widest)


def _short(shown: Shown) -> Iterator[Block]:
    texts = [(shown.piece.name, READ, True), *((text, READ, False) for text in _cuts(shown))]
    for widest in _WIDTHS:
        yield _block(texts, widest)


def _cuts(shown: Shown) -> list[str]:
    return how_to_cut(shown.piece, mirrored=shown.at.determinant < 0)


def _name(piece: Piece) -> Iterator[Block]:
    for widest in _WIDTHS[2:]:
        yield _block([(piece.name, READ, True)], widest)


def line_words(shown: Shown, room: Room, field: Bounds) -> list[Item]:
    """What stands along lines: that an edge is on the fold, and whose style a line is.

    Args:
        shown: The piece on the mat.
        room: What is on the mat; the words are taken.
        field: The part of the mat that shows pieces.
    """
    piece = shown.piece
    seen = cloth_of(piece, shown.at).intersection(shapely.box(*field))
    items: list[Item] = []
    for run in piece.runs:
        if run.edge.lies is Lies.FOLD:
            text = say("fold_edge_short")
        elif run.style and run.role is Role.CUT:
            text = say("style_line", style=", ".join(styles_in(run.style)))
        else:
            continue
        items += _along(run.edge.path.moved(shown.at), text, room, seen, field)
    return items


def _along(path: Path, text: str, room: Room, seen: BaseGeometry, field: Bounds) -> list[Item]:
    """Words beside the longest part of a line that is seen, within the piece."""
    inside = as_line(path).intersection(shapely.box(*field))
    parts = [part for part in shapely.get_parts(inside) if part.length >= _SHORTEST]
    if not parts:
        return []
    part = max(parts, key=lambda each: float(each.length))
    size = size_of(READ)
    half, up = width_of(text, size) / 2, height_of(size)
    for share in _SHARES:
        middle = part.interpolate(share, normalized=True)
        before, after = (part.interpolate(share * part.length + by) for by in (-1.0, 1.0))
        reach = float(before.distance(after))
        if reach == 0:
            continue
        forward, degrees = upright(((after.x - before.x) / reach, (after.y - before.y) / reach))
        for base in (_CLEAR, -_CLEAR - up):
            at = type(path.start)(middle.x - forward[1] * base, middle.y + forward[0] * base)
            corners = corners_along(at, forward, half, -0.3 * up, up)
            if seen.covers(shapely.Polygon(corners)) and room.take_if_free(corners, 2.0):
                return [Words(text, at, size, anchor="middle", turn=degrees)]
    return []
