"""The cover's drawing: every piece at one scale, with its number and name under it."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.layout.ink import paths_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, height_of, leading_of, width_of, wrapped
from tiler.sheets.piece import pattern_strokes
from tiler.sheets.skyline import packed

#: Width of the drawing, and the greatest height, millimetres.
WIDE, TALLEST = 176.0, 172.0
_GAP = 6.0
_UNDER = 2.0
_SIZE = BODY
#: The narrowest column that a name is broken into, millimetres.
_NAME = 26.0
#: Longer names end in …; the cutting notes have all of it.
_LETTERS = 60
#: Lines get thinner as pieces get smaller, but for what can still be seen, millimetres.
_THINNEST, _THICKEST = 0.14, 0.45
_TINT = 0.965
_STEPS = 24


def draw_portrait(pattern: Pattern, width: float = WIDE, tallest: float = TALLEST) -> Drawing:
    """All pieces, as large as they go on the cover at one scale.

    Args:
        pattern: As its sheets show it.
        width: Room across, millimetres.
        tallest: Room up, millimetres.
    """
    low, high = 0.0, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2
        if _height(pattern, middle, width) <= tallest:
            low = middle
        else:
            high = middle
    factor = low or high
    boxes, order = _set(pattern, factor, width)
    height = max(box.top for box in boxes)
    used = max(box.right for box in boxes)
    shift = (width - used) / 2
    items: list[Item] = []
    for box, piece in zip(boxes, order, strict=True):
        items += _drawn(piece, pattern, factor, Point(shift + box.centre.x, height - box.bottom))
    # Lines at the rim have a width.
    return Drawing(Bounds(0.0, 0.0, width, height).grown(1.0), tuple(items))


def _extent(piece: Piece) -> Bounds:
    return bounds_of([path.bounds for path in paths_of(piece)])


def _lines(piece: Piece, pattern: Pattern, wide: float) -> list[str]:
    name = piece.name if len(piece.name) <= _LETTERS else f"{piece.name[: _LETTERS - 1]}…"
    if len(pattern.pieces) > 1:
        # The numbers are those of the sheets, of the lay plans and of the cutting notes.
        name = f"{[each.name for each in pattern.pieces].index(piece.name) + 1} {name}"
    return wrapped(name, _SIZE, max(wide, _NAME), bold=True)


def _size(piece: Piece, pattern: Pattern, factor: float) -> tuple[float, float]:
    """What a piece with its name takes, across and down."""
    bounds = _extent(piece)
    lines = _lines(piece, pattern, bounds.width * factor)
    words = max(width_of(line, _SIZE, bold=True) for line in lines)
    down = _UNDER + len(lines) * leading_of(_SIZE)
    return max(bounds.width * factor, words), bounds.height * factor + down


def _set(pattern: Pattern, factor: float, width: float) -> tuple[list[Bounds], Sequence[Piece]]:
    """The box of each piece, counted from the left and from the top down; and their order."""
    sizes = {piece.name: _size(piece, pattern, factor) for piece in pattern.pieces}
    order = sorted(pattern.pieces, key=lambda piece: -round(sizes[piece.name][1], 3))
    wanted = [(wide + _GAP, high + _GAP) for wide, high in (sizes[p.name] for p in order)]
    places = packed(wanted, width + _GAP)
    boxes = [
        Bounds(left, down, left + wide - _GAP, down + high - _GAP)
        for (left, down), (wide, high) in zip(places, wanted, strict=True)
    ]
    return boxes, order


def _height(pattern: Pattern, factor: float, width: float) -> float:
    boxes, _ = _set(pattern, factor, width)
    if any(box.right > width + 0.01 for box in boxes):
        return float("inf")
    return max(box.top for box in boxes)


def _drawn(piece: Piece, pattern: Pattern, factor: float, top: Point) -> list[Item]:
    """A piece under the middle of its box's upper side."""
    bounds = _extent(piece)
    home = Affine.move(-bounds.centre.x, -bounds.top)
    at = home.then(Affine.scale(factor, factor)).then(Affine.move(*top))
    order = tuple(name for name, _ in pattern.styles)
    rings = tuple(outline.path.moved(at) for outline in piece.outlines)
    items: list[Item] = [Fill((ring,), _TINT) for ring in rings]
    for style in ("", *piece.style_keys):
        for stroke in pattern_strokes(piece, style, order):
            items.append(
                Stroke(tuple(p.moved(at) for p in stroke.paths), _thin(stroke.pen, factor))
            )
    items += _heads(piece, at)
    base = top.y - bounds.height * factor - _UNDER - height_of(_SIZE)
    for number, line in enumerate(_lines(piece, pattern, bounds.width * factor)):
        spot = Point(top.x, base - number * leading_of(_SIZE))
        items.append(Words(line, spot, _SIZE, anchor="middle", bold=True))
    return [Group(tuple(items))]


def _heads(piece: Piece, at: Affine) -> list[Item]:
    """The grainline's arrowheads; at the scale of the drawing they would be specks."""
    if piece.grain is None:
        return []
    start, end = at(piece.grain.start), at(piece.grain.end)
    length = start.to(end)
    if length == 0:
        return []
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(2.2, length / 4)
    return [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]


def _thin(pen: Pen, factor: float) -> Pen:
    width = min(max(pen.width * 0.5, _THINNEST), _THICKEST)
    shorter = max(factor, 0.18)
    dash = tuple(max(length * shorter, 0.08) for length in pen.dash)
    return Pen(width, pen.grey, dash)
