"""Where two pages meet: crosses that both print, the joint's number, the band for glue."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Words
from tiler.sheets.lettering import SMALL, width_of
from tiler.sheets.pens import CROSS, GLUE_TINT, HAIR, TRIM
from tiler.sheets.room import Room
from tiler.sheets.words import say

#: How far a cross reaches along its joint, and on to the page, millimetres. Past the joint it only
#: reaches as far as the pattern does: the strip beyond belongs to the check bars.
ARM = 4.0
INWARD = 5.0
#: Where along a joint its two crosses stand, best first, as shares of its length.
_SHARES = (0.18, 0.14, 0.22, 0.1, 0.26, 0.3, 0.34, 0.07, 0.38, 0.42)
CROSS_SHARES = (_SHARES, tuple(1 - share for share in _SHARES))
#: The same for the words: from the middle outwards.
LABEL_SHARES = tuple(0.5 + sign * step / 40 for step in range(20) for sign in (1, -1))


@dataclass(frozen=True)
class Joint:
    """The line between two neighbouring pages, sheet coordinates.

    Args:
        number: Counted from 1 in reading order.
        under: The page on the left or above, whose band lies under.
        over: The page on the right or below, which is trimmed and lies over.
        start: Lower or left end of the line.
        end: Upper or right end of the line.
        crosses: Two points on it.
    """

    number: int
    under: Cell
    over: Cell
    start: Point
    end: Point
    crosses: tuple[Point, Point]

    @property
    def upright(self) -> bool:
        """Whether the line runs up the page (neighbours side by side)."""
        return self.under.row == self.over.row


def find_joints(plan: Plan, room: Room) -> list[Joint]:
    """All joints between printed pages, crosses kept clear of pattern lines where possible."""
    there = set(plan.cells)
    joints: list[Joint] = []
    for cell in plan.cells:
        core = plan.grid.core(cell)
        right, below = Cell(cell.row, cell.column + 1), Cell(cell.row + 1, cell.column)
        for over, start, end in (
            (right, Point(core.right, core.bottom), Point(core.right, core.top)),
            (below, Point(core.left, core.bottom), Point(core.right, core.bottom)),
        ):
            if over in there:
                first, second = (_cross_spot(room, start, end, s) for s in CROSS_SHARES)
                joints.append(Joint(len(joints) + 1, cell, over, start, end, (first, second)))
    return joints


def _cross_spot(room: Room, start: Point, end: Point, shares: tuple[float, ...]) -> Point:
    def spot(share: float) -> Point:
        return Point(start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share)

    def box(share: float) -> Bounds:
        x, y = spot(share)
        return Bounds(x, y, x, y).grown(INWARD + 0.5)

    boxes = [box(share) for share in shares]
    free = room.first_free(boxes) or room.first_untaken(boxes)
    return free.centre if free else spot(shares[0])


def draw_joints(
    joints: list[Joint], cell: Cell, to_page: Affine, setup: PageSetup, room: Room
) -> Iterator[Item]:
    """What one page shows of its joints, page coordinates, tints first.

    Args:
        joints: All of this page's joints.
        cell: The page.
        to_page: Sheet to page.
        setup: The paper.
        room: Pattern lines and words on the sheet, sheet coordinates.
    """
    printable, bleed = setup.printable, setup.bleed
    for joint in joints:
        if joint.under == cell:
            a = to_page(joint.start)
            band = (
                Bounds(a.x, printable.bottom, printable.right, printable.top)
                if joint.upright
                else Bounds(printable.left, printable.bottom, printable.right, a.y)
            )
            yield Fill((rectangle(band),), GLUE_TINT)
    for joint in joints:
        line = polyline([to_page(joint.start), to_page(joint.end)])
        yield Stroke((line,), TRIM if joint.over == cell else HAIR)
        for number, point in enumerate(joint.crosses, start=1):
            yield _cross(joint, number, to_page(point), _side(joint, cell), bleed)
        yield from _joint_words(joint, cell, to_page, room)


def _side(joint: Joint, cell: Cell) -> float:
    """Which way from the line the page lies: 1 to the right or above, -1 to the left or below."""
    return -1.0 if joint.upright == (joint.under == cell) else 1.0


def _cross(joint: Joint, number: int, at: Point, side: float, bleed: float) -> Group:
    inward, outward = side * INWARD, -side * max(bleed - 0.4, 0.5)
    if joint.upright:
        along = polyline([Point(at.x, at.y - ARM), Point(at.x, at.y + ARM)])
        through = polyline([Point(at.x + outward, at.y), Point(at.x + inward, at.y)])
    else:
        along = polyline([Point(at.x - ARM, at.y), Point(at.x + ARM, at.y)])
        through = polyline([Point(at.x, at.y + outward), Point(at.x, at.y + inward)])
    return Group(
        (Stroke((along, through), CROSS),),
        furniture=True,
        facts=(("Joint", joint.number), ("Point", number)),
    )


def _joint_words(joint: Joint, cell: Cell, to_page: Affine, room: Room) -> Iterator[Words]:
    """The joint's number and the neighbour's name, on this page's side of the line."""
    lies_under = joint.under == cell
    neighbour = (joint.over if lies_under else joint.under).name
    side = _side(joint, cell)
    for key in ("goes_over" if lies_under else "cut_here", "joint_short"):
        text = say(key, number=joint.number, neighbour=neighbour)
        boxes = list(_beside(joint, side, width_of(text, SMALL)))
        box = room.first_free(boxes, 1.5) or room.first_free(boxes, 0.8) or room.first_free(boxes)
        if box:
            break
    else:
        box = boxes[0]
    if joint.upright:
        at, turn = Point(box.right - 0.7, box.bottom), 90.0
    else:
        at, turn = Point(box.left, box.bottom + 0.7), 0.0
    yield Words(text, to_page(at), SMALL, turn=turn, grey=0.2)


def _beside(joint: Joint, side: float, width: float) -> Iterator[Bounds]:
    """Places for words of that width along a joint, nearest to the line and its middle first."""
    length = joint.start.to(joint.end)
    for near in (1.0, 2.5, 4.5, 7.0, 10.0):
        for share in LABEL_SHARES:
            if share != 0.5 and not width / 2 + 3 <= share * length <= length - width / 2 - 3:
                continue
            x = joint.start.x + (joint.end.x - joint.start.x) * share
            y = joint.start.y + (joint.end.y - joint.start.y) * share
            if joint.upright:
                inner, outer = sorted((x + side * near, x + side * (near + 3)))
                yield Bounds(inner, y - width / 2, outer, y + width / 2)
            else:
                inner, outer = sorted((y + side * near, y + side * (near + 3)))
                yield Bounds(x - width / 2, inner, x + width / 2, outer)
