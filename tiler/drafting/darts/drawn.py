"""Darts that were drawn: which lines are darts, and where they stand on the stitch line."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.drafting.darts.dart import Dart, FisheyeDart
from tiler.drafting.darts.mouth import Mouth
from tiler.drafting.darts.parts import crossings, distance_to
from tiler.drafting.unfold.mirror import Axis, angle_between
from tiler.intake.nearest import nearest
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Line, Outline, Role
from tiler.pattern.segment import Straight

#: A leg that ends this near (millimetres) to a line was meant to end on it.
STANDS = 0.5


def mouth_of(
    line: Line, index: int, ring: Outline, traced: Outline | None, where: str
) -> Mouth | None:
    """The mouth of a drawn dart: an open V of straight legs that both end on one edge.

    Args:
        line: Any line of the piece.
        index: Its place among the lines.
        ring: The stitch line.
        traced: The traced cut line, on which the legs may end too; they are followed from there
            to the stitch line. None where the tracing is the stitch line.
        where: File and piece.

    Returns:
        A mouth that is not pressed yet; None where the line is not such a dart.
    """
    corners = _corners(line)
    if corners is None or len(corners) != 3 or line.path.closed:
        return None
    one, tip, other = corners
    first = standing_on(one, tip, ring, traced)
    second = standing_on(other, tip, ring, traced)
    for letter, along in first.items():
        if letter not in second:
            continue
        low, high = sorted((along, second[letter]))
        mouth = Mouth(letter, low, high, tip, None, where, index)
        if _opens_inwards(mouth, ring):
            return mouth
    return None


def fisheye_of(line: Line) -> FisheyeDart | None:
    """The dart with two tips that a line of four straight legs is; None for any other line.

    Its tips are the two opposite corners with the smaller angles.
    """
    corners = _corners(line)
    if corners is None or len(corners) != 5 or corners[0].to(corners[4]) > STANDS:
        return None
    ring = corners[:4]
    sharp = [_angle(ring[n - 1], ring[n], ring[(n + 1) % 4]) for n in range(4)]
    first = 0 if sharp[0] + sharp[2] <= sharp[1] + sharp[3] else 1
    tips, sides = (ring[first], ring[first + 2]), (ring[first - 1], ring[first + 1])
    try:
        # Seen from the first tip, left is on the left of the way to the second one.
        left, right = sides if Axis(*tips).offset(sides[0]) > 0 else sides[::-1]
        if Axis(*tips).offset(left) <= 0 or Axis(*tips).offset(right) >= 0:
            return None
        return FisheyeDart(left, right, tips)
    except (PatternError, ZeroDivisionError):
        return None


def dart_of(line: Line) -> Dart | None:
    """The open V of a line as a dart with left and right as on a clockwise outline, or None."""
    corners = _corners(line)
    if corners is None or len(corners) != 3 or line.path.closed:
        return None
    one, tip, other = corners
    try:
        # Seen from the tip, the right leg lies clockwise of the left one.
        turned = Axis(tip, one).offset(other) > 0
        return Dart(other, tip, one) if turned else Dart(one, tip, other)
    except (PatternError, ZeroDivisionError):
        return None


def _corners(line: Line) -> list[Point] | None:
    straight = all(isinstance(segment, Straight) for segment in line.path.segments)
    return list(line.path.nodes()) if line.role is Role.DART and straight else None


def _angle(one: Point, at: Point, other: Point) -> float:
    return angle_between((one.x - at.x, one.y - at.y), (other.x - at.x, other.y - at.y))


def standing_on(end: Point, tip: Point, ring: Outline, traced: Outline | None) -> dict[str, float]:
    """The edges on which a leg stands.

    Args:
        end: Of the leg.
        tip: Of the dart.
        ring: The stitch line.
        traced: As in `mouth_of`.

    Returns:
        Letter -> millimetres from that edge's start; two at a corner, none beside the lines.
    """
    found: dict[str, float] = {}
    for edge in ring.edges:
        near = nearest(edge.path, end)
        if near.distance <= STANDS:
            found[edge.letter] = distance_to(edge.path, near.segment, near.t)
    if found or traced is None or end == tip:
        return found
    if nearest(traced.path, end).distance > STANDS:
        return found
    leg = Axis(tip, end)
    met = [
        (edge.path.segments[index].at(t).to(end), edge, index, t)
        for edge in ring.edges
        for index, t in crossings(edge.path, leg)
    ]
    # Behind the end the ray may meet the far side of the piece.
    met = [each for each in met if each[0] < tip.to(end)]
    if met:
        _, edge, index, t = min(met, key=lambda each: each[0])
        found[edge.letter] = distance_to(edge.path, index, t)
    return found


def _opens_inwards(mouth: Mouth, ring: Outline) -> bool:
    try:
        dart = mouth.dart(ring)
    except PatternError:
        return False
    # On a clockwise edge the inside is on the right of the way from left leg to right leg.
    return Axis(dart.left, dart.right).offset(dart.tip) < 0


def drawn_mouths(
    lines: Sequence[Line], ring: Outline, traced: Outline | None, where: str
) -> list[Mouth]:
    """The mouths of all drawn darts that belong to a ring.

    Args:
        lines: Of the piece.
        ring: The stitch line; darts of other styles are left out.
        traced: As in `mouth_of`.
        where: File and piece.
    """
    styles = ("", ring.style)
    found = [
        mouth_of(line, index, ring, traced, where)
        for index, line in enumerate(lines)
        if line.style in styles or not ring.style
    ]
    return [mouth for mouth in found if mouth is not None]
