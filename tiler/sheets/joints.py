"""Where two pages meet: crosses and a vernier that both print, and what to do with the joint."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.bodies import NOWHERE, Bodies
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Stroke, Use
from tiler.sheets.jointwords import Side, joint_words
from tiler.sheets.lanes import first_place
from tiler.sheets.pens import CROSS, GLUE_TINT, HAIR, TRIM
from tiler.sheets.room import Room
from tiler.sheets.scales import draw_scales
from tiler.sheets.tickplaces import Stretch, TickSpot
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
        stretch = Stretch(start, end, between, room, bodies)
        ticks = stretch.spots()
        first, second = (_cross_spot(stretch, shares) for shares in CROSS_SHARES)
        joints.append(Joint(len(joints) + 1, under, over, start, end, (first, second), *ticks))
    return joints


def _cross_spot(stretch: Stretch, shares: tuple[float, ...]) -> Point:
    """The best place of a cross, at one of some shares of the joint; it is taken."""
    (x, y), upright = stretch.start, stretch.beside.upright
    line, begin = (x, y) if upright else (y, x)
    length = stretch.start.to(stretch.end)
    starts = [begin + length * share - REACH for share in shares]
    lane = [stretch.beside.lane(line - REACH, line + REACH)]
    free = first_place(lane, starts, 2 * REACH, 0.0) or first_place(lane, starts, 2 * REACH, None)
    if free:
        stretch.beside.take(free)
    middle = (free.centre.y if upright else free.centre.x) if free else starts[0] + REACH
    return Point(x, middle) if upright else Point(middle, y)


#: Sides of a page: whether the joint is upright, and whether the page lies over its neighbour.
Sides = frozenset[tuple[bool, bool]]


def sides_of(joints: Sequence[Joint], cell: Cell) -> Sides:
    """The sides on which a page has joints, given all of them."""
    return frozenset((joint.upright, joint.over == cell) for joint in joints)


def draw_tint(sides: Sides, setup: PageSetup, way: Way) -> list[Use]:
    """Grey where the neighbours on some sides of a page lie over it, page coordinates.

    Pages with neighbours on the same sides have the same drawing.
    """
    drawing = _bands(sides, setup, way)
    return [Use(drawing)] if drawing else []


def draw_edges(sides: Sides, core: Bounds, way: Way) -> list[Use]:
    """The lines at which a page meets the neighbours on some sides, as `draw_tint`.

    Args:
        sides: Those with neighbours.
        core: What only this page is for, page coordinates.
        way: How pages are joined.
    """
    # Shifting pages leaves a rounding error that would tell equal ones apart.
    drawing = _lines(sides, Bounds(*(round(side, 9) for side in core)), way)
    return [Use(drawing)] if drawing else []


@lru_cache(maxsize=256)
def _bands(sides: Sides, setup: PageSetup, way: Way) -> Drawing | None:
    printable, core = setup.printable, setup.printable.grown(-setup.overlap / 2)
    bands = {
        (True, False): printable._replace(left=core.right),
        (False, False): printable._replace(top=core.bottom),
    }
    here = tuple(rectangle(band) for side, band in bands.items() if side in sides)
    return Drawing(printable, (Fill(here, GLUE_TINT),)) if here and way.has_band else None


@lru_cache(maxsize=256)
def _lines(sides: Sides, core: Bounds, way: Way) -> Drawing | None:
    items = []
    for upright, over in sorted(sides):
        if upright:
            edge = core._replace(left=core.right) if not over else core._replace(right=core.left)
        else:
            edge = core._replace(top=core.bottom) if not over else core._replace(bottom=core.top)
        trimmed = way.trims_over if over else way.trims_under
        line = polyline([Point(edge.left, edge.bottom), Point(edge.right, edge.top)])
        items.append(Stroke((line,), TRIM if trimmed else HAIR))
    return Drawing(core.grown(TRIM.width), tuple(items)) if items else None


def draw_joints(
    joints: Sequence[Joint],
    cell: Cell,
    to_page: Affine,
    setup: PageSetup,
    room: Room,
    way: Way = Way.OVERLAP,
    bodies: Bodies = NOWHERE,
) -> Iterator[Item]:
    """What one page shows along its joints, page coordinates.

    Args:
        joints: All of this page's joints.
        cell: The page.
        to_page: Sheet to page.
        setup: The paper.
        room: Pattern lines and words on the sheet, sheet coordinates.
        way: How pages are joined.
        bodies: What is cut out; words stand outside where they can.
    """
    for joint in joints:
        over = joint.over == cell
        inwards = 1.0 if joint.upright == over else -1.0
        turn = Affine.turn((0.0 if joint.upright else 90.0) + (0.0 if inwards > 0 else 180.0))
        crosses = (
            Use(_cross(number, setup.bleed), turn.then(Affine.move(*to_page(point))))
            for number, point in enumerate(joint.crosses, start=1)
        )
        scales = draw_scales(joint.straight, joint.slanted, over, to_page, upright=joint.upright)
        facts = (("Joint", joint.number),)
        yield Group((*crosses, *scales), furniture=True, facts=facts)
        neighbour = (joint.under if over else joint.over).name
        side = Side(joint.number, neighbour, joint.start, joint.end, over, inwards)
        yield from joint_words(side, way, to_page, room, bodies)


@lru_cache(maxsize=64)
def _cross(number: int, bleed: float) -> Drawing:
    """A cross round the origin, its long arm to the right: on to the page from its left edge."""
    outward = -max(bleed - 0.4, _OUTWARD)
    arms = (
        polyline([Point(0.0, -ARM), Point(0.0, ARM)]),
        polyline([Point(outward, 0.0), Point(INWARD, 0.0)]),
    )
    mark = Group((Stroke(arms, CROSS),), furniture=True, facts=(("Point", number),))
    bounds = bounds_of([arm.bounds for arm in arms]).grown(CROSS.width)
    return Drawing(bounds, (mark,))
