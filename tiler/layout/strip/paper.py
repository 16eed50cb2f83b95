"""The paper, or the cloth, that items are laid on."""

from __future__ import annotations

import math
from dataclasses import dataclass

#: What stays free between an item and the strip's own edge, millimetres: a line that runs along
#: the edge itself would lose half its width.
RIM = 1.0


@dataclass(frozen=True, slots=True)
class Strip:
    """One endless length, or several of the same size; millimetres.

    Lengths are measured from the beginning of each, which is its upper edge. What lies on a length
    has coordinates whose origin is its upper left corner, x to the right, y up: all y are negative.

    Args:
        width: From edge to edge of what can be used.
        limit: How long a length may be; infinite for one that has no end.
        head: What is kept free at the beginning of the first length.
        count: How many lengths there are; 0 for as many as are needed.
        even: Whether the lengths are to be equally short, instead of as few as possible.
    """

    width: float
    limit: float = math.inf
    head: float = 0.0
    count: int = 0
    even: bool = False
