"""Put sheets together from what the joints say, and compare with where the layout has the pages."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tests.output.pagewords import Saying, Sight
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point

#: Steps to the right and down from the page with which one begins.
Spot = tuple[int, int]
#: A sheet: each page's name and its steps from the sheet's left and top.
Steps = frozenset[tuple[str, float, float]]


@dataclass(frozen=True)
class Table:
    """Pages on a table: what each says, and the sheets that are made of them."""

    sayings: dict[str, tuple[Saying, ...]]
    sheets: tuple[dict[str, Spot], ...]


def laid(pages: Iterable[Sight]) -> Table:
    """Follow the joints from any page to the next, as long as there are some."""
    sayings = {page.name: tuple(page.sayings()) for page in pages if page.name}
    sheets: list[dict[str, Spot]] = []
    left = dict.fromkeys(sayings)
    while left:
        first = next(iter(left))
        spots: dict[str, Spot] = {first: (0, 0)}
        queue = deque([first])
        while queue:
            name = queue.popleft()
            for saying in sayings[name]:
                across, down = saying.edge.value
                spot = spots[name][0] + across, spots[name][1] + down
                if saying.neighbour not in spots:
                    queue.append(saying.neighbour)
                # Whichever way one comes to a page, it lies in the same place.
                assert spots.setdefault(saying.neighbour, spot) == spot
        assert len(set(spots.values())) == len(spots), "two pages in one place"
        sheets.append(spots)
        left = {name: None for name in left if name not in spots}
    return Table(sayings, tuple(sheets))


def true_sheets(plan: Plan) -> set[Steps]:
    """Where the layout has the pages, each sheet from its own left and top, whole steps."""
    (across, down), found = plan.grid.setup.pitch, set()
    for cells in plan.sheets:
        origins = {cell.name: plan.grid.origin(cell) for cell in cells}
        corner = Point(min(o.x for o in origins.values()), max(o.y for o in origins.values()))
        found.add(
            frozenset(
                (name, round((at.x - corner.x) / across, 6), round((corner.y - at.y) / down, 6))
                for name, at in origins.items()
            )
        )
    return found


def rebuilt(sheets: Sequence[dict[str, Spot]]) -> set[Steps]:
    found = set()
    for spots in sheets:
        left, top = (min(spot[k] for spot in spots.values()) for k in (0, 1))
        found.add(
            frozenset((name, float(x - left), float(y - top)) for name, (x, y) in spots.items())
        )
    return found
