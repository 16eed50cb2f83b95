"""A pattern at a glance: its pieces small, without a word, to be told from others by its shapes."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Lies, Line, Mark, Pattern, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.sheets.drawing import Fill, Group, Item, Page, Pen, Stroke
from tiler.sheets.skyline import packed

#: The picture, millimetres: four to three, as photographs are.
WIDE, HIGH = 120.0, 90.0
_EDGE, _GAP = 3.0, 2.5
#: How much narrower or wider than the last one each width is that the pieces are set into.
_STEP, _TRIES = 1.06, 60
#: Lines are thinned to the first, and are specks below the second, which nobody sees at the size
#: of a card; millimetres.
_FINE = 0.05
_SPECK = 0.3
_PENS = {
    "cut": Pen(0.45),
    "stitch": Pen(0.3, dash=(1.6, 0.9)),
    "fold": Pen(0.45, dash=(3, 1, 1, 1)),
}
_INSIDE = Pen(0.25)
_LAYERS = {Role.CUT: "cut", Role.STITCH: "stitch"}


def draw_glance(pattern: Pattern) -> Page:
    """All pieces at one scale, as large as they fit. What is alike lies in a layer of its own.

    Layers: ``paper`` (the inside of a piece), ``cut``, ``stitch``, ``fold``, ``inside``.

    Args:
        pattern: Drafted or as it was read, one piece at least.
    """
    pieces = sorted(pattern.pieces, key=lambda piece: -piece.bounds.height)
    factor, places = _set(pieces)
    items: list[Item] = []
    for piece, (left, down) in zip(pieces, places, strict=True):
        box = piece.bounds
        at = Affine.scale(factor, factor).then(
            Affine.move(left - box.left * factor, HIGH - down - box.top * factor)
        )
        items += small_piece(piece, at)
    return Page("glance", WIDE, HIGH, tuple(items))


def _set(pieces: Sequence[Piece]) -> tuple[float, list[tuple[float, float]]]:
    """The largest scale at which the pieces lie in the picture, and their upper left corners."""
    sizes = [(piece.bounds.width, piece.bounds.height) for piece in pieces]
    room_wide, room_high = WIDE - 2 * _EDGE, HIGH - 2 * _EDGE
    best: tuple[float, list[tuple[float, float]]] = (0.0, [])
    width = max(max(wide for wide, _ in sizes), 1.0)
    for _ in range(_TRIES):
        # Gaps are the same in the picture, so that they are larger beside the pieces themselves.
        gap = _GAP * width / room_wide
        places = packed([(wide + gap, high + gap) for wide, high in sizes], width + gap)
        boxes = list(zip(places, sizes, strict=True))
        right = max(left + wide for (left, _), (wide, _) in boxes)
        low = max(down + high for (_, down), (_, high) in boxes)
        factor = min(room_wide / right, room_high / low)
        if factor > best[0]:
            off_x, off_y = (WIDE - right * factor) / 2, (HIGH - low * factor) / 2
            best = factor, [(off_x + x * factor, off_y + y * factor) for x, y in places]
        width *= _STEP
    return best


def small_piece(piece: Piece, at: Affine) -> list[Item]:
    """The lines of a piece in the layers of `draw_glance`.

    Args:
        piece: Drafted or as it was read.
        at: From the piece to the picture.
    """
    layers: dict[str, list[Path]] = {}
    for run in piece.runs:
        layer = "fold" if run.edge.lies is Lies.FOLD else _LAYERS.get(run.role, "inside")
        layers.setdefault(layer, []).extend(_fine(run.edge.path, at))
    things: tuple[Line | Mark, ...] = (*piece.lines, *piece.marks)
    for thing in things:
        layer = "stitch" if thing.role is Role.STITCH else "inside"
        layers.setdefault(layer, []).extend(_fine(thing.path, at))
    rings = [path for outline in piece.outlines for path in _fine(outline.path, at)]
    return [
        *([Group((Fill(tuple(rings), 1.0),), layers=("paper",))] if rings else []),
        *(
            Group((Stroke(tuple(paths), _PENS.get(layer, _INSIDE)),), layers=(layer,))
            for layer, paths in layers.items()
            if paths
        ),
    ]


def _fine(path: Path, at: Affine) -> list[Path]:
    """The path in the picture, with no more corners than can be seen; none when it is a speck."""
    moved = path.moved(at)
    if max(moved.bounds.width, moved.bounds.height) < _SPECK:
        return []
    kept = shapely.LineString(moved.flattened(_FINE)).simplify(_FINE)
    return [polyline([Point(x, y) for x, y in kept.coords], closed=path.closed)]
