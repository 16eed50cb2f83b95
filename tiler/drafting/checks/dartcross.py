"""Darts that take in the same cloth."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import shapely

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.pattern.affine import Point
from tiler.pattern.model import Line, Role, Severity, styles_in

#: Darts may touch; they overlap when they have more in common (square millimetres). Our choice.
TOUCH = 1.0


def crossing_darts(bench: Bench) -> Iterator[Fault]:
    """No two darts of a piece overlap: sewn, the first one would take away the second's leg."""
    for piece in bench.pattern.pieces:
        taken = [(line, ground) for line in piece.lines if (ground := _ground(line)) is not None]
        for (one, first), (other, second) in combinations(taken, 2):
            styles = styles_in(one.style), styles_in(other.style)
            if all(styles) and not set(styles[0]) & set(styles[1]):
                continue
            common = first.intersection(second)
            if common.area <= TOUCH:
                continue
            low_x, low_y, high_x, high_y = common.bounds
            middle = Point((low_x + high_x) / 2, (low_y + high_y) / 2)
            deep = max(high_x - low_x, high_y - low_y)
            yield Fault(
                "darts-cross",
                Severity.ERROR,
                piece.name,
                f"Two darts overlap over {both(deep)}: once the first is sewn, the legs of the "
                "second can no longer be laid on one another.",
                "Turn them apart, shorten them, or put both into one dart.",
                detail=f"darts at ({middle.x:.0f}, {middle.y:.0f}) mm",
                style=one.style or other.style,
                numbers={"common_mm2": common.area, "deep_mm": deep},
                spots=(Spot(piece.name, (middle,), (one.path, other.path)),),
            )


def _ground(line: Line) -> shapely.Polygon | None:
    """What a dart takes in; None for any other line, and for one leg on a fold."""
    corners = [(point.x, point.y) for point in line.path.nodes()]
    if line.role is not Role.DART or len(corners) < 3:
        return None
    ground = shapely.Polygon(corners)
    return ground if ground.is_valid else None
