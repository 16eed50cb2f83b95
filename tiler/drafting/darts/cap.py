"""The cap: the outline over a dart that lies on the seam when the dart is pressed."""

from __future__ import annotations

from enum import StrEnum

from tiler.drafting.darts.dart import Dart, dart_on_fold
from tiler.drafting.darts.parts import crossings, lengthened, up_to
from tiler.drafting.rings import refuse_not_finite
from tiler.drafting.unfold.lines import pinned
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm


class Pressed(StrEnum):
    """Which way the sewn dart is pressed; left and right as in `Dart`."""

    LEFT = "left"
    RIGHT = "right"


def dart_cap(left: Path, right: Path, dart: Dart, pressed: Pressed) -> Path:
    """The outline from the left leg end to the right one, trued by folding the dart.

    The dart is folded along its middle and lies under the side that it is pressed to. It is
    cut along that side's seam, which goes on straight where it is too short, and unfolded. In
    geometry: the seam is mirrored in its own leg as far as the middle line, and what that
    gives is mirrored in the middle line.

    Args:
        left: The seam that ends at the left leg.
        right: The seam that begins at the right leg.
        dart: With legs that are equal within 0.05 mm.
        pressed: The side that the dart is pressed to.

    Returns:
        A path of lines and cubics with a peak (or a hollow) on the middle line.

    Raises:
        PatternError: Coordinates that are not numbers, unequal legs, a seam that does not touch
            its leg, or one that runs so steeply along the dart that it never crosses it folded.
    """
    refuse_not_finite(left, "the seam left of the dart")
    refuse_not_finite(right, "the seam right of the dart")
    first, second = dart.legs
    if abs(first - second) > MEETS:
        raise PatternError(
            f"the dart's legs measure {format_mm(first, 2)} and {format_mm(second, 2)}",
            remedy="True the legs to one length first.",
        )
    to_left = pressed is Pressed.LEFT
    seam, leg = (left.reversed(), dart.left) if to_left else (right, dart.right)
    half = _half_cap(seam, leg, dart)
    other = half.moved(dart.middle.mirror)
    if to_left:
        return Path(half.segments + pinned(other, dart.right, half.end).reversed().segments)
    return Path(pinned(other, dart.left, half.end).segments + half.reversed().segments)


def half_cap(seam: Path, tip: Point, fold: Axis) -> Path:
    """The cap of a dart whose middle is the fold of a half piece, from the leg to the fold.

    Args:
        seam: The drawn half's seam, away from the leg; its start is where the leg meets it.
        tip: On the fold.
        fold: The fold.

    Raises:
        PatternError: Coordinates that are not numbers, a tip that is not on the fold, or a
            seam that never crosses the folded dart.
    """
    refuse_not_finite(seam, "the seam beside the dart")
    return _half_cap(seam, seam.start, dart_on_fold(seam.start, tip, fold))


def _half_cap(seam: Path, leg: Point, dart: Dart) -> Path:
    """The cap from a leg to the middle, from the seam that begins at that leg."""
    gap = seam.start.to(leg)
    if gap > MEETS:
        raise PatternError(
            f"the seam begins {format_mm(gap, 2)} away from the dart's leg at "
            f"({leg.x:.1f}, {leg.y:.1f}) mm",
            remedy="Let the seam on either side end where the leg meets it.",
        )
    # No cap is higher than the dart is long, or it would not lie within the seam.
    long_enough = lengthened(seam, 2 * max(dart.legs))
    folded = pinned(long_enough, leg, long_enough.end).moved(Axis(dart.tip, leg).mirror)
    crossing = next(crossings(folded, dart.middle), None)
    half = up_to(folded, *crossing) if crossing else None
    if half is None:
        raise PatternError(
            f"the seam at ({leg.x:.1f}, {leg.y:.1f}) mm does not cross the folded dart",
            remedy="Press the dart the other way, or let it lie more squarely to the seam.",
        )
    peak = dart.middle.foot(half.end)
    return pinned(half, leg, peak)
