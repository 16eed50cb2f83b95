"""Whether a neckline, hem or armhole runs on smoothly across a seam."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.drafting.rings import refuse_not_finite
from tiler.drafting.unfold.mirror import angle_between
from tiler.intake.ring import NEARLY_MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path
from tiler.pattern.segment import direction
from tiler.pattern.units import format_mm

#: A line that breaks by no more (degrees) across a sewn seam runs on. Common practice, no source.
RUNS_ON = 2.0


@dataclass(frozen=True, slots=True)
class RunOn:
    """The two angles that a line makes with a seam.

    Args:
        first: Degrees between the line and the seam on the first piece, from 0 to 180.
        second: The same on the second piece.
    """

    first: float
    second: float

    @property
    def off(self) -> float:
        """Degrees by which the angles exceed 180: positive is a hollow, negative a peak."""
        return self.first + self.second - 180.0

    @property
    def smooth(self) -> bool:
        """Whether the line runs on, within 2 degrees."""
        return abs(self.off) <= RUNS_ON


def run_on(before: Path, seam_before: Path, seam_after: Path, after: Path) -> RunOn:
    """The break of a line where it crosses a sewn seam.

    The pieces need not lie beside one another, nor be drawn the same way round: sewn together,
    their seams coincide, so the line runs on when its two angles with the seam add up to 180
    degrees. Each line may be drawn in either direction; it meets its seam where their ends are
    nearest.

    Args:
        before: The line (neck, hem, armhole) on the first piece, open.
        seam_before: The seam on the first piece.
        seam_after: The same seam on the second piece.
        after: The line on the second piece.

    Raises:
        PatternError: A line and its seam have no end in common (within 0.5 mm), or a
            coordinate is not a number.
    """
    for path in (before, seam_before, seam_after, after):
        refuse_not_finite(path, "a line or seam")
    return RunOn(_angle(before, seam_before), _angle(after, seam_after))


def _angle(line: Path, seam: Path) -> float:
    ways = [
        (one.start.to(other.start), one, other)
        for one in (line, line.reversed())
        for other in (seam, seam.reversed())
    ]
    gap, one, other = min(ways, key=lambda way: way[0])
    if gap > NEARLY_MEETS:
        raise PatternError(
            f"the line and the seam at ({one.start.x:.1f}, {one.start.y:.1f}) mm end "
            f"{format_mm(gap, 2)} apart",
            remedy="Give the edge and its neighbour on the same piece, on the same kind of line.",
        )
    return angle_between(direction(one.segments[0], 0.0), direction(other.segments[0], 0.0))
