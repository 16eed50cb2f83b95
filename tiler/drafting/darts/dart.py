"""What a dart is: a tip and two leg ends; single, on a fold, or with two tips."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.drafting.unfold.mirror import Axis, angle_between
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Line, Mark, Role
from tiler.pattern.path import circle, polyline
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm

#: Radius (millimetres) of a drawn drill mark.
DRILL_RADIUS = 1.5


@dataclass(frozen=True, slots=True)
class Dart:
    """A dart with two straight legs.

    Left and right are seen from the tip, looking at the seam; on a clockwise outline the left
    leg comes first, whichever way the dart points on the paper.

    Args:
        left: Where the left leg meets the seam.
        tip: Where the dart ends inside of the piece.
        right: Where the right leg meets the seam.

    Raises:
        PatternError: The three do not make a triangle.
    """

    left: Point
    tip: Point
    right: Point

    def __post_init__(self) -> None:
        numbers = (*self.left, *self.tip, *self.right)
        sound = all(map(math.isfinite, numbers)) and min(self.legs) > MEETS
        if not sound or not 1e-6 < self.angle < 180 - 1e-6:
            raise PatternError(
                "the dart's tip and leg ends lie in one line or on one another",
                remedy="Give a tip and two leg ends that make a triangle.",
            )

    @property
    def legs(self) -> tuple[float, float]:
        """Length of the left and of the right leg, in millimetres."""
        return self.tip.to(self.left), self.tip.to(self.right)

    @property
    def intake(self) -> float:
        """What it takes in at the seam: the straight distance between the leg ends."""
        return self.left.to(self.right)

    @property
    def angle(self) -> float:
        """Degrees at the tip."""
        return angle_between(_from(self.tip, self.left), _from(self.tip, self.right))

    @property
    def middle(self) -> Axis:
        """The line from the tip that halves the angle: where the dart is folded."""
        (lx, ly), (rx, ry) = _unit(self.tip, self.left), _unit(self.tip, self.right)
        reach = max(self.legs)
        x, y = lx + rx, ly + ry
        size = math.hypot(x, y)
        return Axis(self.tip, Point(self.tip.x + x / size * reach, self.tip.y + y / size * reach))

    @property
    def closing(self) -> Affine:
        """The turn about the tip that lays the right leg on the left one."""
        lean = Axis(self.tip, self.left).mirror
        # Two reflections in lines through the tip are a turn by twice the angle between them.
        return self.middle.mirror.then(lean)

    @property
    def line(self) -> Line:
        """Both legs, from the left leg end over the tip to the right one."""
        return Line(Role.DART, polyline([self.left, self.tip, self.right]))

    def drill_point(self, short: float) -> Mark:
        """A drill mark on the middle line, short of the tip so that the sewn tip covers it.

        Args:
            short: Millimetres from the tip, less than the dart is long.

        Raises:
            PatternError: The mark would not be inside of the dart.
        """
        x, y = self.middle.direction
        depth = min(self.legs) * math.cos(math.radians(self.angle) / 2)
        if not 0 <= short < depth:
            raise PatternError(
                f"a drill mark {format_mm(short)} short of the tip is not within the dart",
                remedy=f"Give a distance from 0 mm to less than {format_mm(depth)}.",
            )
        return drill(Point(self.tip.x + x * short, self.tip.y + y * short))


def trued_legs(dart: Dart) -> Dart:
    """The dart with both legs as long as their mean; tip, directions and angle stay.

    The longer leg loses what the shorter one gains, so that the seam is redrawn by the same
    amount on both sides (common practice, no source).
    """
    left, right = dart.legs
    mean = (left + right) / 2
    return Dart(
        Straight(dart.tip, dart.left).at(mean / left),
        dart.tip,
        Straight(dart.tip, dart.right).at(mean / right),
    )


def dart_on_fold(leg: Point, tip: Point, fold: Axis) -> Dart:
    """The whole dart of which a half piece shows one leg, its middle on the fold.

    Args:
        leg: Where the drawn leg meets the seam.
        tip: On the fold, within 0.05 mm.
        fold: The fold; the drawn half may lie on either side of it.

    Raises:
        PatternError: The tip is not on the fold.
    """
    off = abs(fold.offset(tip))
    if off > MEETS:
        raise PatternError(
            f"the tip of the half dart lies {format_mm(off, 2)} off the fold",
            remedy="Put the tip on the fold, or draw both legs.",
        )
    tip, other = fold.foot(tip), fold.mirror(leg)
    (ax, ay), (bx, by) = _from(tip, leg), _from(tip, other)
    # Seen from the tip the right leg lies clockwise of the left one.
    return Dart(leg, tip, other) if ax * by - ay * bx < 0 else Dart(other, tip, leg)


@dataclass(frozen=True, slots=True)
class FisheyeDart:
    """A dart with two tips, such as one over the waist of a piece without a waist seam.

    Args:
        left: The widest place on the left, seen from the first tip.
        right: The widest place on the right.
        tips: The first and the second tip.

    Raises:
        PatternError: One of its halves is no triangle.
    """

    left: Point
    right: Point
    tips: tuple[Point, Point]

    def __post_init__(self) -> None:
        _ = self.halves

    @property
    def halves(self) -> tuple[Dart, Dart]:
        """The dart towards each tip; left and right are told from each tip."""
        first, second = self.tips
        return Dart(self.left, first, self.right), Dart(self.right, second, self.left)

    @property
    def intake(self) -> float:
        """What it takes in where it is widest."""
        return self.left.to(self.right)

    @property
    def line(self) -> Line:
        """All four legs as one ring."""
        first, second = self.tips
        return Line(Role.DART, polyline([first, self.left, second, self.right], closed=True))

    def drill_points(
        self, short: float, inside: float | None = None
    ) -> tuple[Mark, Mark, Mark, Mark]:
        """Drill marks: one in front of each tip and one inside each widest place.

        Args:
            short: Millimetres that each stays inside of the sewn line.
            inside: The same at the widest place alone; None for as much as at the tips.

        Raises:
            PatternError: There is not so much room in the dart.
        """
        inside = short if inside is None else inside
        if self.intake <= 2 * inside:
            raise PatternError(
                f"drill marks {format_mm(inside)} inside of a dart that takes in "
                f"{format_mm(self.intake)} would cross",
                remedy=f"Give a distance of less than {format_mm(self.intake / 2)}.",
            )
        first, second = self.halves
        across, inwards = Straight(self.left, self.right), inside / self.intake
        left, right = across.at(inwards), across.at(1 - inwards)
        return first.drill_point(short), drill(left), second.drill_point(short), drill(right)


def drill(at: Point) -> Mark:
    """A drill mark."""
    return Mark(Role.DRILL, at, circle(at, DRILL_RADIUS))


def _from(start: Point, end: Point) -> tuple[float, float]:
    return end.x - start.x, end.y - start.y


def _unit(start: Point, end: Point) -> tuple[float, float]:
    x, y = _from(start, end)
    size = math.hypot(x, y)
    return x / size, y / size
