"""What has to be cut from a cloth: the pieces of a drafted pattern as rings to lay."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from tiler.drafting.checks.foldcuts import NO_FOLD, SAY_FOLD
from tiler.drafting.unfold.half import half_of
from tiler.drafting.unfold.mirror import Axis
from tiler.layout.cloth.halves import opened
from tiler.layout.cloth.model import Need
from tiler.layout.cloth.ring import Ring, anticlockwise, points_of, ring_of
from tiler.pattern.affine import Point
from tiler.pattern.errors import ClothError, PatternError
from tiler.pattern.model import Cut, Lay, Lies, Pattern, Piece, Role

#: A piece is its own mirror image when lines and marks differ nowhere by more (millimetres): the
#: width of a traced line and the hand that traced it. Our choice.
SAME = 1.0
#: Millimetres between the points of lines whose distance is taken.
_STEP = 4.0
#: Chords stay this close to the cut line, millimetres.
FLAT = 0.05


def needs_of(pattern: Pattern, cloth: str) -> tuple[Need, ...]:
    """The pieces that are cut from a cloth.

    Args:
        pattern: Drafted, with the chosen styles only (`only_styles`); a piece with several takes
            the room of all of them.
        cloth: Its name.

    Raises:
        ClothError: There is no such cloth; or a piece of it has no grainline or no cut line, or
            cannot be cut on its fold.
    """
    known = dict.fromkeys(
        (*(name for name, _ in pattern.cloths), *(c.cloth for p in pattern.pieces for c in p.cuts))
    )
    if cloth not in known:
        raise ClothError(
            f'there is no cloth "{cloth}"',
            remedy=f"The cloths are: {', '.join(known)}."
            if known
            else "Say in the pattern file what a piece is cut from: "
            'cut = { count = 2, cloth = "main", lay = "pair" }.',
        )
    needs = tuple(
        _need(piece, cut) for piece in pattern.pieces for cut in piece.cuts if cut.cloth == cloth
    )
    if not needs:
        raise ClothError(
            f'no piece is cut from the cloth "{cloth}"',
            remedy="Choose another cloth or another style, or add the cloth to the cut of its "
            "pieces.",
        )
    return needs


def _need(piece: Piece, cut: Cut) -> Need:
    where = piece.place
    if any(outline.role is not Role.CUT for outline in piece.outlines):
        raise ClothError(
            "its cut line is not known",
            where=where,
            remedy='Give the piece its seam allowance, such as allowance = "10 mm".',
        )
    if cut.lay is Lay.PAIR and cut.count % 2:
        raise ClothError(
            f"{cut.count} cannot be cut as mirrored pairs",
            where=where,
            remedy='Count the pieces (a pair is count = 2), or write lay = "copies".',
        )
    fold = _fold(piece)
    if fold is None and cut.lay is Lay.FOLD:
        raise ClothError(NO_FOLD, where=where, remedy=SAY_FOLD)
    grain = _grain(piece, fold)
    ring = _ring(piece)
    symmetric, even = True, False
    if fold is None:
        symmetric = mirrors(piece, ring, grain)
        even = mirrors(piece, ring, (-grain[1], grain[0]))
    ends = (fold.start, fold.end) if fold else None
    return Need(piece.name, cut.count, cut.lay, ring, grain, ends, symmetric, even, where)


def _ring(piece: Piece) -> Ring:
    """Round all outlines."""
    shapes = [shapely.Polygon(outline.path.flattened(FLAT)) for outline in piece.outlines]
    body = shapely.union_all(shapes) if len(shapes) > 1 else shapes[0]
    if not all(shape.is_valid for shape in shapes) or not isinstance(body, shapely.Polygon):
        raise ClothError(
            "its cut line crosses itself, or its styles lie apart",
            where=piece.place,
            remedy="Look at the drawing; or choose one style.",
        )
    points = shapely.get_coordinates(body.exterior)[:-1]
    apart = np.hypot(*(points - np.roll(points, 1, axis=0)).T) > 1e-6
    return ring_of(anticlockwise(points[apart]))


def _fold(piece: Piece) -> Axis | None:
    if not any(edge.lies is Lies.FOLD for outline in piece.outlines for edge in outline.edges):
        return None
    try:
        folds = [half_of(outline, piece.place).fold for outline in piece.outlines]
    except PatternError as wrong:
        # The other cloths can be laid all the same.
        raise ClothError(wrong.problem, where=wrong.where, remedy=wrong.remedy) from None
    return max(folds, key=lambda fold: fold.length)


def _grain(piece: Piece, fold: Axis | None) -> tuple[float, float]:
    if piece.grain is not None:
        x, y = piece.grain.end.x - piece.grain.start.x, piece.grain.end.y - piece.grain.start.y
        length = math.hypot(x, y)
        if length > 0:
            return (x / length, y / length)
    if fold is not None:
        x, y = fold.direction
        return (x, y) if (y, x) > (0, 0) else (-x, -y)
    raise ClothError(
        "it has no grainline, so nobody knows how it lies on the cloth",
        where=piece.place,
        remedy='Draw one, or name a straight edge that it is parallel to: grain = "A".',
    )


def mirrors(piece: Piece, ring: Ring, along: tuple[float, float]) -> bool:
    """Whether a whole piece, with what is drawn on it, is its own mirror image about a line.

    Args:
        piece: Drawn whole.
        ring: Its cut line.
        along: Direction of the line, which goes through the middle of the piece.
    """
    axis = middle_line(ring, along)
    outline = shapely.LinearRing(points_of(ring))
    if not _alike([outline], axis):
        return False
    drawn = [
        shapely.LineString(line.path.flattened())
        for line in piece.lines
        if line.role is not Role.GRAIN
    ]
    marks = [shapely.Point(mark.at) for mark in piece.marks]
    return _alike(drawn, axis) and _alike(marks, axis)


def middle_line(ring: Ring, along: tuple[float, float]) -> Axis:
    """The line through the middle of a ring, in a direction.

    The middle is that between the outermost points on both sides: a mirror line can be nowhere
    else.
    """
    points = points_of(ring)
    off = points @ np.array([-along[1], along[0]])
    middle = (float(off.min()) + float(off.max())) / 2
    start = Point(-along[1] * middle, along[0] * middle)
    return Axis(start, Point(start.x + along[0], start.y + along[1]))


def _alike(shapes: Sequence[shapely.Geometry], axis: Axis) -> bool:
    if not shapes:
        return True
    drawn = shapely.segmentize(shapely.GeometryCollection(list(shapes)), _STEP)
    m = axis.mirror
    turned = shapely.transform(
        drawn,
        lambda p: p @ np.array([[m.a, m.b], [m.c, m.d]]) + np.array([m.e, m.f]),
    )
    return bool(shapely.hausdorff_distance(drawn, turned) <= SAME)


def whole_ring(need: Need) -> Ring:
    """The ring of the whole piece: opened across its fold when it is drawn as a half."""
    if need.fold is None:
        return need.ring
    return opened(need.ring, Axis(*need.fold), need.place or need.piece)
