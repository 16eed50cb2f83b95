"""Where two pages meet: crosses and a vernier that both print, and what to do with the joint."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.bodies import NOWHERE, Bodies
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Use
from tiler.sheets.jointwords import Side, joint_words
from tiler.sheets.pens import CROSS, GLUE_TINT, HAIR, TRIM
from tiler.sheets.places import as_boxes
from tiler.sheets.room import Room
from tiler.sheets.tickplaces import Stretch, TickSpot
from tiler.sheets.ticks import Ticks, at_joint, vernier
from tiler.sheets.ways import Way

#: How far a cross reaches along its joint, and on to the page, millimetres. Past the joint it only
#: reaches as far as the pattern does: the strip beyond belongs to the check bars.
ARM = 4.0
INWARD = 5.0
#: The least that a cross reaches past its joint: as far as the pattern does at the least overlap.
_OUTWARD = 0.6
#: What a cross keeps free round it.
REACH = INWARD + 0.5
#: Where along a joint its two crosses stand, best first, as shares of its length.
_SHARES = (0.18, 0.14, 0.22, 0.1, 0.26, 0.3, 0.34, 0.07, 0.38, 0.42)
CROSS_SHARES = (_SHARES, tuple(1 - share for share in _SHARES))


@dataclass(frozen=True)
class Joint:
    """The line between two neighbouring pages, sheet coordinates.

    Args:
        number: Counted from 1 in reading order.
        under: The page on the left or above; a page laid over its neighbour covers this one.
        over: The page on the right or below.
        start: Lower or left end of the line.
        end: Upper or right end of the line.
        crosses: Two points on it.
        straight: Where its straight ticks are.
        slanted: Where its slanted ticks are.
    """

    number: int
    under: Cell
    over: Cell
    start: Point
    end: Point
    crosses: tuple[Point, Point]
    straight: TickSpot
    slanted: TickSpot

    @property
    def upright(self) -> bool:
        """Whether the line runs up the page (neighbours side by side)."""
        return self.under.row == self.over.row


def find_joints(plan: Plan, room: Room, bodies: Bodies = NOWHERE) -> list[Joint]:
    """All joints between printed pages, with free places for their crosses and verniers.

    Args:
        plan: Which pages are printed.
        room: Lines and words to keep clear of, sheet coordinates; what is placed is taken in it.
            Where nothing will be trimmed, the words in the strips of all pages should be taken
            already: they lie over the neighbour's marks.
        bodies: What is cut out; places outside come first.
    """
    joints: list[Joint] = []
    for under, over in plan.joints:
        core = plan.grid.core(under)
        upright = under.row == over.row
        start = Point(core.right if upright else core.left, core.bottom)
        end = Point(core.right, core.top if upright else core.bottom)
        # What needs most room is placed first.
        low, high = (shares[0] * start.to(end) for shares in CROSS_SHARES)
        between = low + REACH, high - REACH
        ticks = Stretch(start, end, between, room, bodies).spots()
        first, second = (_cross_spot(room, bodies, start, end, s) for s in CROSS_SHARES)
        joints.append(Joint(len(joints) + 1, under, over, start, end, (first, second), *ticks))
    return joints


def _cross_spot(
    room: Room, bodies: Bodies, start: Point, end: Point, shares: tuple[float, ...]
) -> Point:
    spots = [
        Point(start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share)
        for share in shares
    ]
    boxes = as_boxes([Bounds(x, y, x, y).grown(REACH) for x, y in spots])
    ordered = bodies.outside_first(boxes)
    free = room.first_free(ordered) or room.first_untaken(ordered)
    return free.centre if free else spots[0]


def draw_joints(
    joints: list[Joint],
    cell: Cell,
    to_page: Affine,
    setup: PageSetup,
    room: Room,
    way: Way = Way.OVERLAP,
    bodies: Bodies = NOWHERE,
) -> Iterator[Item]:
    """What one page shows of its joints, page coordinates, tints first.

    Args:
        joints: All of this page's joints.
        cell: The page.
        to_page: Sheet to page.
        setup: The paper.
        room: Pattern lines and words on the sheet, sheet coordinates.
        way: How pages are joined.
        bodies: What is cut out; words stand outside where they can.
    """
    printable, bleed = setup.printable, setup.bleed
    for joint in joints:
        if joint.under == cell and way.has_band:
            a = to_page(joint.start)
            band = (
                Bounds(a.x, printable.bottom, printable.right, printable.top)
                if joint.upright
                else Bounds(printable.left, printable.bottom, printable.right, a.y)
            )
            yield Fill((rectangle(band),), GLUE_TINT)
    for joint in joints:
        over = joint.over == cell
        trimmed = way.trims_over if over else way.trims_under
        line = polyline([to_page(joint.start), to_page(joint.end)])
        yield Stroke((line,), TRIM if trimmed else HAIR)
        inwards = 1.0 if joint.upright == over else -1.0
        for number, point in enumerate(joint.crosses, start=1):
            yield _cross(joint, number, to_page(point), inwards, bleed)
        for kind, spot in ((Ticks.STRAIGHT, joint.straight), (Ticks.SLANTED, joint.slanted)):
            place = at_joint(to_page(spot.at), upright=joint.upright)
            facts = ("Joint", joint.number), ("Scale", 1 if kind is Ticks.STRAIGHT else 2)
            ticks = Use(vernier(kind, over, spot.bare), place)
            yield Group((ticks,), furniture=True, facts=facts)
        neighbour = (joint.under if over else joint.over).name
        side = Side(joint.number, neighbour, joint.start, joint.end, over, inwards)
        yield from joint_words(side, way, to_page, room, bodies)


def _cross(joint: Joint, number: int, at: Point, inwards: float, bleed: float) -> Group:
    """A cross with one arm on to the page: to the right or up for 1, to the left or down for -1."""
    inward, outward = inwards * INWARD, -inwards * max(bleed - 0.4, _OUTWARD)
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
