"""How the allowances of two neighbouring edges meet at their corner."""

from __future__ import annotations

from enum import StrEnum

#: How far a mitre's point may lie from the stitch corner, in widths of the wider allowance.
#: By arithmetic a mitre is 1 / sin(angle / 2) widths long: 1.41 at 90 degrees, 2 at 60, 2.61 at 45,
#: 3.86 at 30 (58 mm of point on 15 mm of allowance). 3.5 keeps corners down to 33.2 degrees, so
#: that a corner of 45 degrees and the sharpest one of a 3-4-5 triangle stay pointed, and blunts
#: what is sharper. That there is a limit is common practice, no source; the number is our choice.
MITRE_LIMIT = 3.5


class Finish(StrEnum):
    """How a corner of the cut line is finished.

    MITRE: both cut lines run on straight until they meet; a point further than `MITRE_LIMIT`
        widths from the stitch corner is blunted square to the line from that corner to it.
    SQUARE: for a seam that is sewn and pressed first and crossed by the other one later. The first
        seam's stitch line is run on to the second edge's cut line, and the first edge's allowance
        is cut off there, square to its own seam.
    REFLECTED: for a hem or sleeve end that turns up. Inside the hem's allowance the side's cut
        line is its own mirror image across the hem's stitch line, so that it lies flat once turned.
    """

    MITRE = "mitre"
    SQUARE = "square"
    REFLECTED = "reflected"
