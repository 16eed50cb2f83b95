"""Registration crosses: where each page prints them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tiler.pattern.affine import Point
from tiler.proof.geometry import Floats, sizes
from tiler.proof.known import Known
from tiler.proof.neighbours import Neighbours, Pair
from tiler.proof.placing import Placed, marked_strokes
from tiler.proof.record import PageEntry, Record
from tiler.proof.verdict import Fault

#: A stroke of a cross is straight when its handles lie this near to it, in mm.
_TRUE = 0.01
#: Crosses of a joint that are nearer to each other than this let the pages turn, mm.
LEAST_SPREAD = 10.0

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


def crosses_on(page: list[Placed], name: str, known: Known) -> tuple[dict[Key, Point], list[Fault]]:
    """The crosses of a page by joint and point, and what is wrong with how they are drawn."""
    found: dict[Key, Point] = {}
    faults: list[Fault] = []
    for drawn in marked_strokes(page):
        key, layers = drawn.mark.joint, drawn.mark.layers
        if key is None:
            continue
        joint, point = key
        words = f"the cross of joint {joint}, point {point}"
        middle = _middle(drawn.strokes)
        if key in found:
            faults.append(Fault("cross", name, f"{words} is there twice"))
        elif middle is None:
            text = f"{words} is not two straight strokes that cross"
            faults.append(Fault("cross", name, text))
        else:
            found[key] = middle
        if not drawn.seen:
            faults.append(Fault("cross", name, f"{words} does not show, or not all of it"))
        if not known.stays(layers):
            text = f"{words} hangs in the layer {known.words(layers)!r}, and would go with it"
            faults.append(Fault("cross", name, text))
    return found, faults


def ties(
    record: Record, neighbours: Neighbours, crosses: Sequence[dict[Key, Point] | None]
) -> tuple[list[Tie], list[Fault]]:
    """Crosses matched between pages that lie side by side, and what is wrong with them.

    Neighbours share two crosses or more, apart from each other; no other pages share any; and
    none is on one page alone.

    Args:
        record: Says which pages there are.
        neighbours: Says which of them lie side by side.
        crosses: For each page, the crosses found; None for a page that is missing.
    """
    where: dict[Key, list[int]] = {}
    for index, on_page in enumerate(crosses):
        for key in on_page or ():
            where.setdefault(key, []).append(index)
    found: list[Tie] = []
    faults: list[Fault] = []
    beside = set(neighbours.pairs)
    whole = None not in crosses
    shared: dict[Pair, list[Tie]] = {}
    for key, pages in sorted(where.items()):
        names = ", ".join(record.pages[page].name for page in pages[:6])
        words = f"the cross of joint {key[0]}, point {key[1]}"
        if len(pages) > 2:
            faults.append(Fault("cross", names, f"{words} is on more than two pages"))
        elif len(pages) == 1 and whole:
            faults.append(Fault("cross", names, f"{words} is on no other page"))
        for pair in pairwise(pages):
            one, other = (crosses[index] or {} for index in pair)
            if pair in beside:
                tie = Tie(*pair, key, one[key], other[key])
                found.append(tie)
                shared.setdefault(pair, []).append(tie)
            elif len(pages) == 2:
                names = " and ".join(record.pages[page].name for page in pair)
                text = f"they share {words}, and do not lie side by side"
                faults.append(Fault("cross", names, text))
    for pair in neighbours.pairs:
        if any(crosses[index] is None for index in pair):
            continue
        here = shared.get(pair, [])
        names = f"{record.pages[pair[0]].name} and {record.pages[pair[1]].name}"
        if len(here) < 2:
            number = "only one cross" if here else "no cross"
            text = f"they lie side by side and share {number}; two are needed"
            faults.append(Fault("joint", names, text))
        elif _spread([tie.on_first for tie in here]) < LEAST_SPREAD:
            text = f"the crosses that they share are less than {LEAST_SPREAD:g} mm apart"
            faults.append(Fault("joint", names, text))
    return found, faults


def _spread(points: Sequence[Point]) -> float:
    """The longer side of the rectangle round some points."""
    return float(np.ptp(np.array(points, dtype=float), axis=0).max())


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
