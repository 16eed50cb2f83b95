"""Where the legs of a dart meet an outline."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.parts import crossings, distance_to
from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Mark, Outline, Role
from tiler.pattern.path import polyline
from tiler.pattern.segment import direction


@dataclass(frozen=True, slots=True)
class LegNotch:
    """The place of a notch for one leg.

    Args:
        letter: The edge that it stands on.
        distance: Millimetres from the start of that edge.
        at: The place itself.
        inward: Unit vector square to the edge, into the piece.
    """

    letter: str
    distance: float
    at: Point
    inward: tuple[float, float]

    def mark(self, length: float) -> Mark:
        """The notch, drawn so many millimetres into the piece."""
        x, y = self.inward
        end = Point(self.at.x + x * length, self.at.y + y * length)
        return Mark(Role.NOTCH, self.at, polyline([self.at, end]))


def leg_notches(outline: Outline, dart: Dart) -> tuple[LegNotch, LegNotch]:
    """Where the legs, carried on straight from the tip, meet an outline.

    On a cut line outside of the seam that is where the sewn dart leaves the cloth.

    Args:
        outline: Clockwise; the dart's tip lies inside.
        dart: Its legs may end on the outline or inside of it.

    Raises:
        PatternError: A leg does not meet the outline.
    """
    left = leg_notch(outline, dart.tip, dart.left, "left")
    return left, leg_notch(outline, dart.tip, dart.right, "right")


def leg_notch(outline: Outline, tip: Point, leg: Point, side: str) -> LegNotch:
    """Where one leg, carried on straight from the tip, meets an outline.

    Args:
        outline: Clockwise.
        tip: Of the dart, inside.
        leg: Where the leg ends, on the outline or inside of it.
        side: Its name in the message, such as left.

    Raises:
        PatternError: It does not meet the outline.
    """
    ray = Axis(tip, leg)
    found: list[tuple[float, LegNotch]] = []
    for edge in outline.edges:
        for index, t in crossings(edge.path, ray):
            segment = edge.path.segments[index]
            at, (x, y) = segment.at(t), direction(segment, t)
            # Clockwise, so the inside is on the right of the way.
            notch = LegNotch(edge.letter, distance_to(edge.path, index, t), at, (y, -x))
            found.append((leg.to(at), notch))
    if not found:
        raise PatternError(
            f"the {side} leg of the dart does not meet the outline",
            remedy="Put the tip of the dart inside of the outline.",
        )
    return min(found, key=lambda pair: pair[0])[1]
