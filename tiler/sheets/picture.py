"""A pattern to look at: every piece small, its edges lettered and measured."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.layout.ink import paths_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge, Pattern, Piece
from tiler.pattern.path import circle, polyline, rectangle
from tiler.pattern.units import format_inch, format_mm
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Group, Item, Page, Pen, Stroke, Words
from tiler.sheets.label import allowance_words, cut_words
from tiler.sheets.lettering import (
    BODY,
    LARGE,
    SMALL,
    TITLE,
    depth_of,
    height_of,
    leading_of,
    width_of,
    wrapped,
)
from tiler.sheets.piece import pattern_strokes
from tiler.sheets.room import Room, as_line

#: Width of the picture, and the room round a piece for letters and lengths, millimetres.
WIDE = 420.0
EDGE = 15.0
AROUND = 17.0
#: The tallest piece is drawn this high at most, millimetres.
TALLEST = 200.0
_TAG = 2.9


@dataclass(frozen=True)
class _Sample:
    piece: Piece
    bounds: Bounds
    words: tuple[tuple[str, float, bool], ...]
    width: float
    height: float


def draw_picture(pattern: Pattern) -> Page:
    """One page that shows all pieces in proportion to each other."""
    tallest = max(piece.bounds.height for piece in pattern.pieces)
    widest = max(piece.bounds.width for piece in pattern.pieces)
    factor = min(1.0, TALLEST / tallest, (WIDE - 2 * EDGE - 2 * AROUND) / widest)
    samples = [_sample(piece, factor) for piece in pattern.pieces]
    rows = _rows(samples)
    head = EDGE + leading_of(TITLE) + 2 * leading_of(BODY) + 4
    height = head + sum(max(s.height for s in row) for row in rows) + EDGE / 2
    items = _head(pattern, factor, height)
    top = height - head
    order = tuple(name for name, _ in pattern.styles)
    for row in rows:
        left = EDGE
        for sample in row:
            items += _draw(sample, factor, left, top, order)
            left += sample.width
        top -= max(sample.height for sample in row)
    paper = Fill((rectangle(Bounds(0, 0, WIDE, height)),), 1.0)
    return Page("pieces", WIDE, height, (Group((paper, *items), furniture=True),))


def _head(pattern: Pattern, factor: float, height: float) -> list[Item]:
    top = height - EDGE - height_of(TITLE) / 2
    items: list[Item] = [Words(pattern.title, Point(EDGE, top), TITLE, bold=True)]
    facts = [pattern.maker, f"version {pattern.version}" if pattern.version else ""]
    facts += [f"pattern digest {pattern.digest}", f"drawn at {factor * 100:.0f} % of true size"]
    line = " · ".join(fact for fact in facts if fact)
    items.append(Words(line, Point(EDGE, top - leading_of(BODY) - 1.5), BODY, grey=0.2))
    return items


def _sample(piece: Piece, factor: float) -> _Sample:
    bounds = piece.bounds
    width = max(bounds.width * factor, 60.0)
    cut = [cut_words(c) for c in piece.cuts] or [cut_words(None)]
    size = f"{format_mm(bounds.width, 0)} × {format_mm(bounds.height, 0)}"
    inch = f"{format_inch(bounds.width)} × {format_inch(bounds.height)}"
    words: list[tuple[str, float, bool]] = []
    for text, points, bold in (
        (piece.name, LARGE, True),
        (f"{size} · {inch}", SMALL + 0.5, False),
        *((text, BODY, False) for text in cut),
        (allowance_words(piece), SMALL + 0.5, False),
    ):
        words += [(part, points, bold) for part in wrapped(text, points, width, bold=bold)]
    width = max([width, *(width_of(text, points, bold=bold) for text, points, bold in words)])
    below = sum(leading_of(points) for _, points, _ in words)
    return _Sample(
        piece,
        bounds,
        tuple(words),
        width + 2 * AROUND,
        bounds.height * factor + 2 * AROUND + below,
    )


def _rows(samples: list[_Sample]) -> list[list[_Sample]]:
    rows: list[list[_Sample]] = []
    for sample in sorted(samples, key=lambda s: -s.height):
        for row in rows:
            if sum(s.width for s in row) + sample.width <= WIDE - 2 * EDGE + 0.01:
                row.append(sample)
                break
        else:
            rows.append([sample])
    return rows


def _draw(
    sample: _Sample, factor: float, left: float, top: float, order: tuple[str, ...]
) -> list[Item]:
    piece, bounds = sample.piece, sample.bounds
    drawn = Bounds(
        left + AROUND,
        top - AROUND - bounds.height * factor,
        left + AROUND + bounds.width * factor,
        top - AROUND,
    )
    at = Affine(
        factor,
        0,
        0,
        factor,
        drawn.left - bounds.left * factor,
        drawn.bottom - bounds.bottom * factor,
    )
    items: list[Item] = []
    for style in ("", *piece.styles):
        for stroke in pattern_strokes(piece, style, order):
            pen = stroke.pen
            dash = tuple(length * 0.5 for length in pen.dash)
            small = Pen(max(0.15, pen.width * 0.6), pen.grey, dash)
            items.append(Stroke(tuple(path.moved(at) for path in stroke.paths), small))
    if piece.grain:
        start, end = at(piece.grain.start), at(piece.grain.end)
        size = start.to(end)
        if size > 0:
            along = ((end.x - start.x) / size, (end.y - start.y) / size)
            items.append(arrowhead(end, along, min(2.5, size / 3)))
            items.append(arrowhead(start, (-along[0], -along[1]), min(2.5, size / 3)))
    room = Room([as_line(path.moved(at)) for path in paths_of(piece)])
    for edge in sorted(piece.outlines[0].edges, key=lambda edge: edge.path.length):
        items += _edge_words(edge, at, room)
    base = drawn.bottom - AROUND + 6
    for text, points, bold in sample.words:
        base -= height_of(points)
        items.append(Words(text, Point(drawn.left, base), points, bold=bold))
        base -= leading_of(points) - height_of(points)
    return items


def _edge_words(edge: Edge, at: Affine, room: Room) -> list[Item]:
    """The letter in a ring outside the edge's middle, its length beside the ring."""
    path = edge.path.moved(at)
    length = format_mm(edge.path.length, 0)
    words = width_of(length, SMALL)
    width, height = 2 * _TAG + 1 + words, 2 * _TAG
    boxes, feet = [], []
    # Outside as near as possible, then inside, where a short edge lies in a corner.
    for away in (1.2, 3.0, 5.5, 8.0, 11.0, 14.0, -2.0, -5.0, -9.0, -13.0):
        side = math.copysign(1.0, away)
        for share in (0.5, 0.42, 0.58, 0.34, 0.66, 0.25, 0.75, 0.15, 0.85):
            point, (dx, dy) = path.point_at(path.length * share)
            # Edges run clockwise: outside is to the left.
            out_x, out_y = -dy, dx
            reach = away + side * (width / 2 * abs(out_x) + height / 2 * abs(out_y))
            middle = Point(point.x + out_x * reach, point.y + out_y * reach)
            boxes.append(
                Bounds(
                    middle.x - width / 2,
                    middle.y - height / 2,
                    middle.x + width / 2,
                    middle.y + height / 2,
                )
            )
            feet.append(point)
    tries = [
        (box, foot)
        for box, foot in zip(boxes, feet, strict=True)
        if not room.words_between(foot, _nearest(box, foot))
    ]
    free = [box for box, _ in tries]
    box = room.first_free(free, 0.4) or room.first_free(free) or boxes[0]
    foot = next((foot for tried, foot in tries if tried == box), feet[0])
    room.take(box.grown(0.8))
    centre = Point(box.left + _TAG, box.centre.y)
    items: list[Item] = [
        Stroke((circle(centre, _TAG - 0.3),), Pen(0.2)),
        Words(
            edge.letter,
            Point(centre.x, centre.y - height_of(BODY) / 2),
            BODY if len(edge.letter) == 1 else SMALL,
            anchor="middle",
            bold=True,
        ),
        Words(
            length,
            Point(box.left + 2 * _TAG + 0.6, centre.y - height_of(SMALL) / 2 + depth_of(SMALL) / 4),
            SMALL,
        ),
    ]
    near = _nearest(box, foot)
    if near.to(foot) > 2.0:
        items.insert(0, Stroke((polyline([near, foot]),), Pen(0.1, grey=0.5)))
    return items


def _nearest(box: Bounds, to: Point) -> Point:
    """The point of a box that is nearest to a point."""
    return Point(min(max(to.x, box.left), box.right), min(max(to.y, box.bottom), box.top))
