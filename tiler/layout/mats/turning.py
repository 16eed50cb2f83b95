"""How a piece lies on the mat: its grain along the long side, or so that it needs few windows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely

from tiler.layout.ink import Floats, bounds_of_chords, chords_of, moved
from tiler.layout.mats.stepping import counted
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Piece

#: Turns that lie closer together than this show the same, degrees.
_ALIKE = 1e-3
#: Across the long side of the mat: what is seen from the other side of the cloth.
_FLIP = Affine.scale(1, -1)


@dataclass(frozen=True)
class Laid:
    """A piece, or two that are joined, as it lies on the cloth.

    Args:
        pieces: One, or both of a joined pair, in one frame.
        at: From the pieces' frame to the cloth: a turn and a shift, and a flip in a mirrored view.
        box: What it takes of the cloth, mm.
    """

    pieces: tuple[Piece, ...]
    at: Affine
    box: Bounds

    @property
    def name(self) -> str:
        """What it is called."""
        return " + ".join(piece.name for piece in self.pieces)

    def shifted(self, x: float, y: float) -> Laid:
        """The same, moved over the cloth by millimetres."""
        by = Affine.move(x, y)
        return Laid(self.pieces, self.at.then(by), self.box.moved(by))


def turned(
    unit: Sequence[Piece],
    field: Bounds,
    *,
    margin: float,
    mirrored: bool = False,
    any_turn: bool = False,
) -> Laid:
    """A unit as it is shown, its lower left at the origin.

    The upper end of its grain points to the right, so that all pieces lie the same way up and a
    cloth with a nap can be cut. What has no grain, or all when any turn will do, takes the turn
    that needs the fewest windows; among turns that need as many, the one along the grain or else
    as drawn.

    Args:
        unit: One piece, or two that are joined.
        field: The part of the mat that shows pieces, mm.
        margin: Kept free round the lines, mm.
        mirrored: Whether it is seen from its other side.
        any_turn: Whether the grain need not lie along the mat.
    """
    first = _FLIP if mirrored else STILL
    chords = [moved(chords_of(piece), first) for piece in unit]
    along = _grain_turn(unit, mirrored)
    # A quarter is exact where the grain is upright, and a whole number of them changes nothing.
    turns = [0.0 if along is None else along]
    if along is None or any_turn:
        turns += _turns_of_sides(chords)

    def box_of(degrees: float) -> Bounds:
        turn = Affine.turn(degrees)
        return bounds_of([bounds_of_chords(moved(each, turn)) for each in chords]).grown(margin)

    def windows(degrees: float) -> int:
        box = box_of(degrees)
        return counted(box.width, field.width) * counted(box.height, field.height)

    best = min(turns, key=windows)
    box = box_of(best)
    at = first.then(Affine.turn(best)).then(Affine.move(-box.left, -box.bottom))
    return Laid(tuple(unit), at, Bounds(0.0, 0.0, box.width, box.height))


def _grain_turn(unit: Sequence[Piece], mirrored: bool) -> float | None:
    """Degrees that bring the upper end of the first grain to the right; None without one."""
    grain = next((piece.grain for piece in unit if piece.grain), None)
    if grain is None:
        return None
    x, y = grain.end.x - grain.start.x, grain.end.y - grain.start.y
    degrees = -math.degrees(math.atan2(-y if mirrored else y, x))
    quarters = round(degrees / 90) * 90.0
    return quarters if abs(degrees - quarters) < _ALIKE else degrees


def _turns_of_sides(chords: Sequence[Floats]) -> list[float]:
    """Quarter turns, and those that lay a straight side of the hull along the mat.

    The box with the least extent round a convex figure has one side on a side of it (Freeman and
    Shapira, "Determining the minimum-area encasing rectangle", 1975, from memory).
    """
    points = [point for each in chords for point in each.reshape(-1, 2)]
    ring = shapely.get_coordinates(shapely.MultiPoint(points).convex_hull)
    turns = {0.0, 90.0}
    for (ax, ay), (bx, by) in pairwise(ring.tolist()):
        if math.hypot(bx - ax, by - ay) > 10.0:
            side = round(-math.degrees(math.atan2(by - ay, bx - ax)), 3) % 180
            turns |= {side, (side + 90) % 180}
    return sorted(turns)
