"""One piece as it was drawn, with the letters of its edges: what a question about it points at."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Piece
from tiler.pattern.path import Path, circle
from tiler.sheets.drawing import Group, Item, Page, Stroke, Words
from tiler.sheets.glance import small_piece
from tiler.sheets.lettering import height_of
from tiler.sheets.pens import CROSS
from tiler.sheets.room import Room, as_line

#: The longer side of the piece, the room round it for letters, radius of a letter's ring: mm.
_LONG, _ROUND, _RING = 80.0, 9.0, 3.2
_SIZE = 10.0
#: How far from its edge a ring stands, best first, and where along it.
_AWAY = (1.0, 2.5, -1.5, 4.0, -4.0)
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)
#: More letters than this say nothing; the longest edges have theirs.
_MOST = 40


def draw_lettered(piece: Piece) -> Page:
    """The piece, its edges lettered in layers ``letter``, the rest as in `draw_glance`.

    Args:
        piece: With the letters of its tracing.
    """
    box = piece.bounds
    factor = _LONG / max(box.width, box.height)
    at = Affine.scale(factor, factor).then(
        Affine.move(_ROUND - box.left * factor, _ROUND - box.bottom * factor)
    )
    width, height = box.width * factor + 2 * _ROUND, box.height * factor + 2 * _ROUND
    page = Bounds(0, 0, width, height)
    edges = [edge for outline in piece.outlines for edge in outline.edges]
    once = {(edge.letter, edge.path): edge for edge in edges}
    longest = sorted(once.values(), key=lambda edge: -edge.path.length)[:_MOST]
    moved = [(edge, edge.path.moved(at)) for edge in longest]
    room = Room(as_line(path) for _, path in moved)
    items: list[Item] = small_piece(piece, at)
    # The shortest has the least choice of places.
    for edge, path in reversed(moved):
        items.append(Group(tuple(_letter(edge, path, room, page)), layers=("letter",)))
    return Page(piece.name, width, height, tuple(items))


def _letter(edge: Edge, path: Path, room: Room, page: Bounds) -> Iterator[Item]:
    boxes = list(_boxes(path, page))
    box = room.first_free(boxes, 0.2) or room.first_free(boxes) or boxes[0]
    centre = box.centre
    yield Stroke((circle(centre, _RING),), CROSS)
    base = Point(centre.x, centre.y - height_of(_SIZE) / 2)
    yield Words(edge.letter, base, _SIZE, anchor="middle", bold=True)


def _boxes(path: Path, page: Bounds) -> Iterator[Bounds]:
    for away in _AWAY:
        for share in _SHARES:
            point, (dx, dy) = path.point_at(path.length * share)
            # Edges run clockwise: outside is to the left.
            reach = away + (_RING if away > 0 else -_RING)
            x = min(max(point.x - dy * reach, _RING + 0.3), page.right - _RING - 0.3)
            y = min(max(point.y + dx * reach, _RING + 0.3), page.top - _RING - 0.3)
            yield Bounds(x - _RING, y - _RING, x + _RING, y + _RING)
