"""Name and grain in a piece of a lay plan: all that is said where there is room, at least a number.

Coordinates are those of a row, as in `layplancloth`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Item, Stroke
from tiler.sheets.label import Block, LabelLine, fitted
from tiler.sheets.labelling import Turned, turns_for
from tiler.sheets.layplancloth import TINT
from tiler.sheets.layplantold import Told
from tiler.sheets.lettering import BODY, READ, SMALL, evenly
from tiler.sheets.pens import FINE, GRAIN
from tiler.sheets.places import boxes_in, nearest_first, shapes_of
from tiler.sheets.room import Room
from tiler.sheets.upright import upright
from tiler.sheets.words import say

#: Lengths of the grain's arrow, best first, and the room across it, millimetres.
_ARROWS, _ARROW_HIGH = (34.0, 22.0, 15.0, 10.0, 7.0), 2.6
#: Air that the number of a narrow piece does without, on each side, millimetres.
_SNUG = 0.8
#: Less of a piece than that is not named again in a further row, square millimetres.
_BIT = 40.0
#: How far from a piece its number may stand when it has no room inside, and the steps in which a
#: place is looked for, millimetres.
_FAR, _STEP = 12.0, 1.0


@dataclass(frozen=True)
class Named:
    """Words and arrow of a piece.

    Args:
        items: What is drawn.
        blocked: The room that they take.
        named: Whether the number is among them.
    """

    items: tuple[Item, ...]
    blocked: BaseGeometry
    named: bool


def name_in(seen: BaseGeometry, told: Told, *, nap: bool) -> Named:
    """Name and grain within a piece, as much as there is room for.

    Args:
        seen: What is seen of the piece.
        told: What is said of it.
        nap: Whether the arrow has one head alone.
    """
    turns = turns_for(seen)
    areas = {turn: Turned(seen, turn) for turn in dict.fromkeys((*turns, 0.0))}
    around = Bounds(*seen.bounds)
    found: Named | None = None
    for block, snug in _blocks(told, small=seen.area < _BIT):
        # A number that stands alone stands upright: 6 turned over is 9.
        for turn in turns if block.lines[0].text != f"{told.number}" else (0.0,):
            room = Room([seen.boundary])
            tried = Block((), block.width - 2 * snug, block.height - 2 * snug)
            spots = areas[turn].spots([around], tried)
            spot = room.first_free(spots, 0.0 if snug else 0.4, turn)
            if spot is None:
                continue
            words = tuple(block.placed(spot.grown(snug), turn))
            arrow = arrow_in(seen, told.grain, room, nap=nap)
            if arrow:
                blocked = _turned(spot, turn) | arrow.blocked
                return Named((*words, *arrow.items), blocked, True)
            found = found or Named(words, _turned(spot, turn), True)
    arrow = arrow_in(seen, told.grain, Room([seen.boundary]), nap=nap)
    return found or arrow or Named((), shapely.Point(), False)


def name_beside(seen: BaseGeometry, told: Told, ground: BaseGeometry) -> Named:
    """The number of a piece on the free cloth beside it, and a line from one to the other.

    Args:
        seen: What is seen of the piece.
        told: What is said of it.
        ground: Cloth without pieces or words.

    Returns:
        Nothing but an empty drawing where all the cloth around is taken.
    """
    block = fitted([LabelLine(say("lay_number", number=told.number), SMALL, bold=True)])
    around = Bounds(*seen.bounds)
    boxes = boxes_in(around.grown(_FAR), block.width, block.height, _STEP)
    shapely.prepare(ground)
    free = boxes[shapely.contains_properly(ground, shapes_of(boxes))]
    if not len(free):
        return Named((), shapely.Point(), False)
    off = shapely.distance(shapes_of(free), seen)
    close = free[off <= off.min() + _STEP]
    spot = Bounds(*nearest_first(close, around.centre)[0].tolist())
    box = shapely.box(*spot)
    line = shapely.shortest_line(box, seen.representative_point())
    ends = [Point(*end) for end in line.coords]
    leader = Stroke((polyline(ends),), FINE)
    # Lines of a check do not run through the number.
    clear = Fill((rectangle(spot),), TINT)
    return Named((leader, clear, *block.placed(spot)), box | line.buffer(0.3), True)


def arrow_in(
    seen: BaseGeometry, grain: tuple[float, float], room: Room, *, nap: bool
) -> Named | None:
    """The grain as an arrow, as long as it finds room; None where there is none.

    Args:
        seen: What is seen of the piece.
        grain: Unit vector towards the top of the piece.
        room: What the arrow keeps clear of.
        nap: Whether it has one head alone.
    """
    _, turn = upright(grain)
    area, around = Turned(seen, turn), Bounds(*seen.bounds)
    for length in _ARROWS:
        spot = room.first_free(area.spots([around], Block((), length, _ARROW_HIGH)), 0.2, turn)
        if spot is None:
            continue
        at = Affine.turn(turn)
        y = spot.centre.y
        ends = [at(Point(spot.left + 0.5, y)), at(Point(spot.right - 0.5, y))]
        along = at(Point(1.0, 0.0))
        if along.x * grain[0] + along.y * grain[1] < 0:
            ends = ends[::-1]
        tail, tip = ends
        head = min(3.0, length / 3.5)
        items: list[Item] = [Stroke((polyline([tail, tip]),), GRAIN), arrowhead(tip, grain, head)]
        if not nap:
            items.append(arrowhead(tail, (-grain[0], -grain[1]), head))
        return Named(tuple(items), _turned(spot, turn), False)
    return None


def _blocks(told: Told, *, small: bool) -> Iterator[tuple[Block, float]]:
    """What is said in a piece, from all of it in large type to the number with hardly any air."""
    number = say("lay_number", number=told.number)
    name = say("lay_piece", number=told.number, name=told.name)
    rest = [words for words in (told.copies, *told.states) if words]
    sizes = () if small else ((READ, BODY, 80.0), (READ, BODY, 30.0), (BODY, SMALL, 80.0))
    for size, second, widest in sizes:
        yield _block(name, rest, size, second, widest), 0.0
        if len(rest) > 1:
            yield _block(name, [" · ".join(rest)], size, second, widest), 0.0
    if not small:
        yield _block(name, rest, SMALL, SMALL, 18.0), 0.0
        for size in (BODY, SMALL) if rest else ():
            yield _block(" · ".join((name, *rest)), [], size, SMALL, 120.0), 0.0
        yield _block(name, [], BODY, SMALL, 80.0), 0.0
        yield _block(name, [], SMALL, SMALL, 80.0), 0.0
        yield _block(number, rest, READ, SMALL, 18.0), 0.0
    for size, snug in ((READ, 0.0), (SMALL, 0.0), (SMALL, _SNUG)):
        yield _block(number, [], size, SMALL, 80.0), snug


def _block(name: str, rest: list[str], size: float, second: float, widest: float) -> Block:
    lines = [LabelLine(text, size, bold=True) for text in evenly(name, size, widest, bold=True)]
    lines += [LabelLine(text, second) for words in rest for text in evenly(words, second, widest)]
    return fitted(lines)


def _turned(box: Bounds, turn: float) -> BaseGeometry:
    at = Affine.turn(turn)
    return shapely.Polygon([at(corner) for corner in box.corners()])
