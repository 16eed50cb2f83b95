"""Registration crosses: where each page prints them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tiler.pattern.affine import Point
from tiler.proof.geometry import Floats, sizes
from tiler.proof.placing import Placed, marked_strokes
from tiler.proof.record import PageEntry, Record
from tiler.proof.verdict import Fault

#: A stroke of a cross is straight when its handles lie this near to it, in mm.
_TRUE = 0.01

Key = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Tie:
    """A cross that two pages print.

    Args:
        first: Index of a page in the record.
        second: Index of the other.
        key: Joint and point.
        on_first: Where the first page prints it, page mm.
        on_second: Where the second page prints it, page mm.
    """

    first: int
    second: int
    key: Key
    on_first: Point
    on_second: Point

    def words(self, pages: Sequence[PageEntry]) -> str:
        """Which cross it is."""
        joint, point = self.key
        names = f"{pages[self.first].name} and {pages[self.second].name}"
        return f"joint {joint}, point {point}, between {names}"


def crosses_on(page: list[Placed], name: str) -> tuple[dict[Key, Point], list[Fault]]:
    """The crosses of a page by joint and point, and what is wrong with how they are drawn."""
    found: dict[Key, Point] = {}
    faults: list[Fault] = []
    for mark, strokes in marked_strokes(page):
        if mark.joint is None:
            continue
        joint, point = mark.joint
        words = f"the cross of joint {joint}, point {point}"
        middle = _middle(strokes)
        if mark.joint in found:
            faults.append(Fault("cross", name, f"{words} is there twice"))
        elif middle is None:
            text = f"{words} is not two straight strokes that cross"
            faults.append(Fault("cross", name, text))
        else:
            found[mark.joint] = middle
    return found, faults


def ties(
    record: Record, crosses: Sequence[dict[Key, Point] | None]
) -> tuple[list[Tie], list[Fault]]:
    """Crosses matched between pages; neighbours that share fewer than two are faults.

    Args:
        record: Says which pages lie side by side.
        crosses: For each of its pages, the crosses found; None for a page that is missing.
    """
    where: dict[Key, list[int]] = {}
    for index, on_page in enumerate(crosses):
        for key in on_page or ():
            where.setdefault(key, []).append(index)
    found: list[Tie] = []
    faults: list[Fault] = []
    shared: dict[tuple[int, int], int] = {}
    for key, pages in sorted(where.items()):
        if len(pages) > 2:
            names = ", ".join(record.pages[page].name for page in pages[:6])
            text = f"the cross of joint {key[0]}, point {key[1]} is on more than two pages"
            faults.append(Fault("cross", names, text))
        for first, second in pairwise(pages):
            one, other = crosses[first], crosses[second]
            if one is not None and other is not None:
                found.append(Tie(first, second, key, one[key], other[key]))
            shared[first, second] = shared.get((first, second), 0) + 1
    cells = {(page.row, page.column): index for index, page in enumerate(record.pages)}
    for (row, column), here in cells.items():
        for cell in ((row, column + 1), (row + 1, column)):
            there = cells.get(cell)
            if there is None or crosses[here] is None or crosses[there] is None:
                continue
            count = shared.get((min(here, there), max(here, there)), 0)
            if count < 2:
                names = f"{record.pages[here].name} and {record.pages[there].name}"
                number = "no cross" if count == 0 else "only one cross"
                text = f"they lie side by side and share {number}; two are needed"
                faults.append(Fault("joint", names, text))
    return found, faults


def _middle(strokes: Floats) -> Point | None:
    """Where two straight strokes cross, a tenth of their length or more from any of their ends."""
    if len(strokes) != 2:
        return None
    along = strokes[:, 3] - strokes[:, 0]
    thirds = strokes[:, 1:3] - (strokes[:, :1] + along[:, None] * np.array([[1 / 3], [2 / 3]]))
    (ax, ay), (bx, by) = along
    turn = ax * by - ay * bx
    reach = float(sizes(along[0]) * sizes(along[1]))
    if float(sizes(thirds).max()) > _TRUE or abs(turn) < 0.1 * reach or reach == 0:
        return None
    dx, dy = strokes[1, 0] - strokes[0, 0]
    shares = (dx * by - dy * bx) / turn, (dx * ay - dy * ax) / turn
    if not all(0.1 <= share <= 0.9 for share in shares):
        return None
    meet = strokes[0, 0] + along[0] * shares[0]
    return Point(float(meet[0]), float(meet[1]))
