"""Elliptical arcs: from SVG's end-point form to cubics with a stated bound."""

from __future__ import annotations

import math

from tiler.intake.svg.subpath import Arc
from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Cubic, Straight

#: Farthest that the cubics may lie from the true arc, in millimetres.
ARC_BOUND = 0.01


def arc_between(
    start: Point, radii: tuple[float, float], tilt: float, large: bool, right: bool, end: Point
) -> Arc | Straight | None:
    """The arc of an ``A`` command.

    Args:
        start: Current point.
        radii: Half axes; the sign is dropped.
        tilt: Degrees from the x axis to the first half axis.
        large: Whether to take the longer way round.
        right: Whether the angle grows (the sweep flag).
        end: Last point.

    Returns:
        An arc; a straight line when a radius is zero; None when the two points are the same.

    Source: SVG 2, appendix B.2.4 "Conversion from endpoint to center parameterization" and B.2.5
    "Correction of out-of-range radii".
    """
    if start == end:
        return None
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return Straight(start, end)
    turn = Affine.turn(tilt % 360)
    cos, sin = turn.a, turn.b
    half_x, half_y = (start.x - end.x) / 2, (start.y - end.y) / 2
    # Half the chord, in the frame where the ellipse is the unit circle.
    u, v = (cos * half_x + sin * half_y) / rx, (cos * half_y - sin * half_x) / ry
    chord = math.hypot(u, v)
    if chord == 0:  # Closer together than floating-point numbers can tell.
        return Straight(start, end)
    if chord >= 1:
        rx, ry, u, v, chord = rx * chord, ry * chord, u / chord, v / chord, 1.0
    root = math.sqrt((1 - chord) * (1 + chord))
    reach = root / chord * (-1 if large == right else 1)
    centre_u, centre_v = reach * v, -reach * u
    first = math.atan2(v - centre_v, u - centre_u)
    # The chord is twice the sine of half the angle; this keeps its digits for tiny arcs.
    sweep = 2 * math.atan2(chord, root)
    if large:
        sweep = 2 * math.pi - sweep
    if not right:
        sweep = -sweep
    shape = Affine.scale(rx, ry).then(turn)
    centre = shape(Point(centre_u, centre_v))
    middle = Affine.move(centre.x + (start.x + end.x) / 2, centre.y + (start.y + end.y) / 2)
    return Arc(start, end, shape.then(middle), first, sweep)


def unit_error(angle: float) -> float:
    """Farthest that one cubic lies from an arc of the unit circle.

    With handles of 4/3 tan(angle/4) the error is radial, outwards, and at most
    2/27 sin^6(angle/4) / cos^2(angle/4). Source: Goldapp, "Approximation of circular arcs by cubic
    polynomials" (1991), for the cubic that meets the arc at its ends and middle.
    """
    return 2 / 27 * math.sin(angle / 4) ** 6 / math.cos(angle / 4) ** 2


def largest_stretch(by: Affine) -> float:
    """The greatest factor by which a map lengthens anything (its larger singular value)."""
    squares = by.a**2 + by.b**2 + by.c**2 + by.d**2
    return math.sqrt((squares + math.sqrt(max(squares**2 - 4 * by.determinant**2, 0.0))) / 2)


def to_cubics(arc: Arc, to_mm: Affine, bound: float = ARC_BOUND) -> list[Cubic]:
    """Cubics in millimetres that keep within `bound` of the arc; the ends are exact."""
    frame = arc.frame.then(to_mm)
    stretch = largest_stretch(frame)
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 2) - 1e-9))
    while stretch * unit_error(arc.sweep / count) > bound:
        count += 1
    step = arc.sweep / count
    handle = 4 / 3 * math.tan(step / 4)
    cubics: list[Cubic] = []
    here = to_mm(arc.start)
    for index in range(count):
        low, high = arc.first + index * step, arc.first + (index + 1) * step
        cos_0, sin_0, cos_1, sin_1 = math.cos(low), math.sin(low), math.cos(high), math.sin(high)
        last = index == count - 1
        end = to_mm(arc.end) if last else frame(Point(cos_1, sin_1))
        cubics.append(
            Cubic(
                here,
                frame(Point(cos_0 - handle * sin_0, sin_0 + handle * cos_0)),
                frame(Point(cos_1 + handle * sin_1, sin_1 - handle * cos_1)),
                end,
            )
        )
        here = end
    return cubics
