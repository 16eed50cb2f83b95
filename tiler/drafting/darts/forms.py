"""Closed forms of a dart with straight, equal legs.

The dart is an isosceles triangle: its base is the intake, its height the length, and its apex
the tip. All lengths are in millimetres, angles in degrees. Source: plane trigonometry.
"""

from __future__ import annotations

import math

from tiler.pattern.errors import PatternError


def leg_length(intake: float, length: float) -> float:
    """A leg, from the seam to the tip: sqrt(length^2 + (intake / 2)^2).

    Raises:
        PatternError: A measure is not a positive number.
    """
    refuse_not_positive(intake=intake, length=length)
    return math.hypot(length, intake / 2)


def angle(intake: float, length: float) -> float:
    """The angle at the tip: 2 atan(intake / (2 length)). It stays when a dart is moved.

    Raises:
        PatternError: A measure is not a positive number.
    """
    refuse_not_positive(intake=intake, length=length)
    return math.degrees(2 * math.atan(intake / (2 * length)))


def intake_of(angle: float, length: float) -> float:
    """The intake of a dart of that angle: 2 length tan(angle / 2).

    It gives the intake of a dart that was moved to another length, and checks an intake that
    was read off a check cloth, whose lines meet at the dart's angle along the sewn dart.

    Raises:
        PatternError: A measure is not a positive number, or the angle is not under 180 degrees.
    """
    refuse_not_positive(angle=angle, length=length)
    if angle >= 180:
        raise PatternError(
            f"a dart cannot have an angle of {angle:g} degrees",
            remedy="Give an angle of less than 180 degrees.",
        )
    return 2 * length * math.tan(math.radians(angle) / 2)


def intake_at(distance: float, intake: float, length: float) -> float:
    """What is taken in at a distance from the tip: intake x distance / length.

    Args:
        distance: Millimetres from the tip along the middle of the dart.
        intake: At the seam.
        length: From the seam to the tip.

    Raises:
        PatternError: The distance is not within the dart, or a measure is not positive.
    """
    refuse_not_positive(intake=intake, length=length)
    if not 0 <= distance <= length:
        raise PatternError(
            f"{distance:g} mm from the tip is not within a dart of {length:g} mm",
            remedy="Give a distance between 0 and the dart's length.",
        )
    return intake * distance / length


def refuse_not_positive(**measures: float) -> None:
    """Check that measures are positive numbers.

    Raises:
        PatternError: One is zero, negative, infinite or not a number; by name.
    """
    for name, value in measures.items():
        if not (math.isfinite(value) and value > 0):
            raise PatternError(
                f"the dart's {name.replace('_', ' ')} is {value:g}",
                remedy="Give a number greater than 0.",
            )
