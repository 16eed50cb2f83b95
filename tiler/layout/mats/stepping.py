"""Windows that step over a cloth which is longer than the mat."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.pattern.bounds import Bounds

#: How far neighbouring windows show the same at the least, mm: room for a cross with its letter.
OVERLAP = 40.0
#: So much less than the room counts as fitting, mm: rounding alone.
_SPECK = 1e-6


@dataclass(frozen=True)
class Window:
    """What the mat shows of the cloth at one time.

    Args:
        number: From 1, in the order in which they are shown.
        column: From 0, along the mat.
        row: From 0, up the mat.
        lies: On the cloth, mm.
    """

    number: int
    column: int
    row: int
    lies: Bounds


def counted(length: float, shown: float, overlap: float = OVERLAP) -> int:
    """How many windows of one extent cover a length."""
    if length <= shown + _SPECK:
        return 1
    return math.ceil((length - overlap - _SPECK) / (shown - overlap))


def stepped(box: Bounds, field: Bounds, overlap: float = OVERLAP) -> tuple[Window, ...]:
    """The windows that show a part of the cloth, row by row and to and fro.

    Each shares a side with the one before it, so that one shift of the cloth leads from window to
    window. They are spread evenly: neighbours share `overlap` or more.

    Args:
        box: The part, mm.
        field: What the mat shows at a time; its extent alone matters, mm.
        overlap: What neighbours share at the least, mm.
    """
    across = _starts(box.left, box.width, field.width, overlap)
    up = _starts(box.bottom, box.height, field.height, overlap)
    found: list[Window] = []
    for row, bottom in enumerate(up):
        columns = list(enumerate(across))
        for column, left in columns if row % 2 == 0 else reversed(columns):
            lies = Bounds(left, bottom, left + field.width, bottom + field.height)
            found.append(Window(len(found) + 1, column, row, lies))
    return tuple(found)


def _starts(start: float, length: float, shown: float, overlap: float) -> list[float]:
    count = counted(length, shown, overlap)
    if count == 1:
        return [start + (length - shown) / 2]
    step = (length - shown) / (count - 1)
    return [start + step * number for number in range(count)]
