"""Pieces with places ringed, a window on one place, and two pieces laid together at a seam."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.drafting.checks.fault import Spot
from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern, Piece, styles_in
from tiler.pattern.path import Path, circle, rectangle
from tiler.pattern.segment import direction
from tiler.sheets.drawing import Fill, Group, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, shortened
from tiler.sheets.pens import HAIR
from tiler.sheets.piece import pattern_strokes

#: Millimetres on the picture: a ring, the side of a window, room between things.
RING = 4.5
WINDOW = 56.0
GAP = 6.0
#: How much larger than true size pieces are shown laid together.
LARGE = 2.0
#: How high pieces are drawn at most, and how many of them.
TALLEST = 105.0
MOST = 6

_HEAVY = Pen(1.1)
_RING = Pen(0.6)


@dataclass(frozen=True)
class Panel:
    """Something drawn below the point (0, 0).

    Args:
        items: What is drawn.
        width: Millimetres to the right.
        height: Millimetres down.
    """

    items: tuple[Item, ...]
    width: float
    height: float


def piece_strokes(piece: Piece, style: str, order: tuple[str, ...], at: Affine) -> list[Item]:
    """The lines of a piece, thin, as far as a style (or all, when it is empty) has them."""
    items: list[Item] = []
    factor = math.sqrt(abs(at.determinant))
    for key in ("", *piece.style_keys):
        if key and style and style not in styles_in(key):
            continue
        for stroke in pattern_strokes(piece, key, order):
            pen = stroke.pen
            dash = tuple(max(length * min(factor * 1.5, 1.0), 0.1) for length in pen.dash)
            thin = Pen(max(0.15, pen.width * min(1.0, factor * 1.5) * 0.7), 0.35, dash)
            items.append(Stroke(tuple(path.moved(at) for path in stroke.paths), thin))
    return items


def ringed_pieces(
    pattern: Pattern, spots: Sequence[Spot], width: float, *, tallest: float = TALLEST
) -> list[Panel]:
    """Every piece of some spots, at one scale, with lines heavy and places ringed.

    Args:
        pattern: Drafted.
        spots: What to show.
        width: Millimetres for all of them, side by side.
        tallest: Millimetres.
    """
    names = list(dict.fromkeys(spot.piece for spot in spots))[:MOST]
    pieces = [piece for name in names for piece in pattern.pieces if piece.name == name]
    if not pieces:
        return []
    boxes = [piece.bounds for piece in pieces]
    room = width - GAP * (len(pieces) - 1)
    factor = min(
        1.0, room / sum(box.width for box in boxes), tallest / max(box.height for box in boxes)
    )
    order = tuple(name for name, _ in pattern.styles)
    panels = []
    for piece, box in zip(pieces, boxes, strict=True):
        own = [spot for spot in spots if spot.piece == piece.name]
        at = Affine(factor, 0, 0, factor, -box.left * factor, -box.top * factor)
        style = own[0].style if len({spot.style for spot in own}) == 1 else ""
        items = piece_strokes(piece, style, order, at)
        for spot in own:
            items += [Stroke((path.moved(at),), _HEAVY) for path in spot.paths]
            items += [Stroke((circle(at(point), RING),), _RING) for point in spot.points]
        high = box.height * factor
        wide = max(box.width * factor, 24.0)
        base = -high - 2.5 - height_of(BODY)
        name = shortened(piece.name, BODY, wide)
        items.append(Words(name, Point(0, base), BODY, bold=True))
        panels.append(Panel(tuple(items), wide, -base + 1.0))
    return panels


def window_on(pattern: Pattern, spot: Spot) -> Panel | None:
    """The surroundings of a spot's points, at true size, or down to half of it for far ones.

    None where they lie so far apart that the window would show no more than the piece.
    """
    piece = next(piece for piece in pattern.pieces if piece.name == spot.piece)
    xs = [point.x for point in spot.points]
    ys = [point.y for point in spot.points]
    middle = Point((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    spread = max(max(xs) - min(xs), max(ys) - min(ys))
    factor = min(1.0, (WINDOW - 20.0) / spread) if spread > 0 else 1.0
    if factor < 0.5:
        return None
    at = Affine(factor, 0, 0, factor, -middle.x * factor + WINDOW / 2,
                -middle.y * factor - WINDOW / 2)  # fmt: skip
    order = tuple(name for name, _ in pattern.styles)
    items = piece_strokes(piece, spot.style, order, at)
    items += [Stroke((path.moved(at),), Pen(0.8)) for path in spot.paths]
    items += [Stroke((circle(at(point), 10.0),), _RING) for point in spot.points]
    scale = "true size" if factor == 1.0 else f"{factor:.0%} of true size"
    return _framed(items, f"{spot.piece}, {scale}")


def laid_together(one: Spot, other: Spot) -> Panel:
    """Two pieces laid together along the seam (or fold) that ends at their first points.

    The second is moved, turned and if need be turned over, so that it lies beyond the seam.

    Args:
        one: With its seam in `seams`, and the line that crosses first in `paths`.
        other: The same; for a fold it is the same spot.
    """
    corner = one.points[0]
    turn = math.degrees(math.atan2(*_leaving(one.seams[0], corner)))
    # The seam runs down from the middle of the window's upper part.
    upright = (
        Affine.move(-corner.x, -corner.y)
        .then(Affine.turn(turn + 180))
        .then(Affine.scale(LARGE, LARGE))
        .then(Affine.move(WINDOW / 2, -WINDOW / 2 + 12))
    )
    over = _over(one, other)
    items: list[Item] = []
    for spot, at in ((one, upright), (other, over.then(upright))):
        items += [Stroke((path.moved(at),), Pen(0.8)) for path in spot.paths[:1]]
        items += [
            Stroke((path.moved(at),), Pen(0.35, grey=0.2, dash=(3.0, 1.5))) for path in spot.seams
        ]
    items.append(Stroke((circle(upright(corner), 9.0),), _RING))
    if one is not other:
        leans = upright(_near(one.paths[0], corner)).x < WINDOW / 2
        names = (one.piece, other.piece) if leans else (other.piece, one.piece)
        half = WINDOW / 2 - 3
        for name, at_x, anchor in zip(names, (2.0, WINDOW - 2.0), ("start", "end"), strict=True):
            words = shortened(name, SMALL, half)
            items.append(Words(words, Point(at_x, -WINDOW + 2.0), SMALL, anchor=anchor))
    return _framed(items, ("opened" if one is other else "sewn together") + ", twice true size")


def _over(one: Spot, other: Spot) -> Affine:
    """The map that lays the second piece against the first along their seams."""
    here, there = one.points[0], other.points[0]
    sx, sy = _leaving(one.seams[0], here)
    tx, ty = _leaving(other.seams[0], there)
    turn = math.degrees(math.atan2(sy, sx) - math.atan2(ty, tx))
    at = Affine.move(-there.x, -there.y).then(Affine.turn(turn)).then(Affine.move(here.x, here.y))
    seam = Axis(here, Point(here.x + sx, here.y + sy))
    first = seam.offset(_near(one.paths[0], here))
    second = seam.offset(at(_near(other.paths[0], there)))
    return at.then(seam.mirror) if first * second > 0 else at


def _near(path: Path, corner: Point) -> Point:
    """A place on a path a little away from its end at a corner."""
    ahead = path.start.to(corner) <= path.end.to(corner)
    length = path.length
    return path.point_at(min(10.0, length) if ahead else max(length - 10.0, 0.0))[0]


def _leaving(path: Path, corner: Point) -> tuple[float, float]:
    if path.start.to(corner) <= path.end.to(corner):
        return direction(path.segments[0], 0.0)
    x, y = direction(path.segments[-1], 1.0)
    return -x, -y


def _framed(items: list[Item], words: str) -> Panel:
    frame = Bounds(0, -WINDOW, WINDOW, 0)
    inside = Group(tuple(items), window=frame)
    base = -WINDOW - 2.5 - height_of(SMALL)
    text = Words(shortened(words, SMALL, WINDOW), Point(0, base), SMALL)
    border = Stroke((rectangle(frame),), HAIR)
    return Panel((inside, border, text), WINDOW, -base + 1.0)


def side_by_side(panels: Sequence[Panel], width: float) -> Panel:
    """Panels in rows from left to right, as many in a row as there is room for."""
    items: list[Item] = []
    left, top, row = 0.0, 0.0, 0.0
    for panel in panels:
        if left > 0 and left + panel.width > width + 0.01:
            left, top, row = 0.0, top - row - GAP, 0.0
        items.append(Group(panel.items, at=Affine.move(left, top)))
        left += panel.width + GAP
        row = max(row, panel.height)
    return Panel(tuple(items), width, -top + row)


def white(bounds: Bounds) -> Fill:
    """Paper."""
    return Fill((rectangle(bounds),), 1.0)
