"""What the pages of target cards say: print, measure, cut, lay, photograph, type."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, LARGE, READ, SMALL, height_of, leading_of, width_of
from tiler.sheets.words import say

#: Type sizes that are tried, best first.
_SIZES = (READ, BODY, BODY - 0.5, 8.0, 7.5, SMALL)
#: Between two columns, millimetres.
_GAP = 7.0
_TYPED = "targets_command"
#: What each column says; the last line of the right one is typed, and stands out.
_LONG = (
    ("targets_print", "targets_measure", "targets_scissors"),
    ("targets_lay", "targets_photo", "targets_type", _TYPED),
)
_SHORT = (
    ("targets_print_short", "targets_scissors_short", "targets_lay_short"),
    ("targets_photo_short", _TYPED),
)


def draw_words(room: Bounds, page: str) -> list[Item]:
    """Title, which page it is, and what to do, in the largest type that fits.

    Args:
        room: Where they may stand.
        page: Which page it is, in words.
    """
    for keys, title in ((_LONG, LARGE), (_SHORT, READ)):
        for size in _SIZES:
            items, rest = _heading(room, page, title)
            columns = [
                _column(rest, keys[0], size, left=True),
                _column(rest, keys[1], size, left=False),
            ]
            # The leading below the last line may run out of the room.
            spare = leading_of(size) - height_of(size)
            if all(column.top + spare >= room.bottom for column in columns):
                return items + [item for column in columns for item in column.items]
    raise AssertionError("the shortest words fit on the smallest paper")


def _heading(room: Bounds, page: str, size: float) -> tuple[list[Item], Bounds]:
    foot = room.top - height_of(size)
    items: list[Item] = [
        Words(say("targets_title"), Point(room.left, foot), size, bold=True),
        Words(page, Point(room.right, foot), BODY, anchor="end"),
    ]
    return items, room._replace(top=foot - size * 0.17)


def _column(room: Bounds, keys: tuple[str, ...], size: float, *, left: bool) -> Column:
    middle = (room.left + room.right) / 2
    half = room._replace(right=middle - _GAP / 2) if left else room._replace(left=middle + _GAP / 2)
    column = Column(half)
    for place, key in enumerate(keys):
        # What is typed is not broken, and stands close to the words before it.
        typed, last = key == _TYPED, place + 1 == len(keys)
        close = last or keys[place + 1] == _TYPED or keys is _SHORT[0]
        after = 0.0 if close else size * 0.09
        column.add(say(key), _fitting(key, size, half) if typed else size, bold=typed, after=after)
    return column


def _fitting(key: str, size: float, room: Bounds) -> float:
    return min(size, size * room.width / width_of(say(key), size, bold=True) * 0.999)
