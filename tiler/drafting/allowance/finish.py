"""How a corner of the cut line is finished, and how far a mitre may reach."""

from __future__ import annotations

from typing import NamedTuple

from tiler.pattern.wishes import Finish

#: How far a mitre's point may lie from the stitch corner, in widths of the wider allowance.
#: By arithmetic a mitre is 1 / sin(angle / 2) widths long: 1.41 at 90 degrees, 2 at 60, 2.61 at 45,
#: 3.86 at 30 (58 mm of point on 15 mm of allowance). 3.5 keeps corners down to 33.2 degrees, so
#: that a corner of 45 degrees and the sharpest one of a 3-4-5 triangle stay pointed, and blunts
#: what is sharper. That there is a limit is common practice, no source; the number is our choice.
MITRE_LIMIT = 3.5


class CornerFinish(NamedTuple):
    """The finish of one corner.

    Args:
        finish: The way.
        first: Whether the edge that ends at the corner, clockwise, is sewn before the one that
            begins there. SQUARE cuts off the allowance of the edge sewn first; REFLECTED mirrors
            it in the other one, which is turned up later. A mitre does not ask.
    """

    finish: Finish
    first: bool = True


MITRED = CornerFinish(Finish.MITRE)
