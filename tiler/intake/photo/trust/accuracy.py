"""How near to the truth the drawn lines are, stated so that it holds for nine photos in ten.

Errors hang together along a line: paper that stands up shifts whole edges, and a print scale makes
all too large. So a few hundred tables are imagined, each with errors of one piece, and each is laid
on the truth as well as turning and shifting allow; what then stays across the lines is what counts
(Monte Carlo propagation: JCGM 101:2008, Supplement 1 to the Guide to the Expression of Uncertainty
in Measurement).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tiler.intake.drawn import DrawnPath
from tiler.intake.photo.model import Numbers, Points, Solved, Tracing
from tiler.intake.photo.trust.flatness import Flatness, How
from tiler.intake.photo.trust.imagined import (
    Places,
    heights_drawn,
    line_drawn,
    places_drawn,
    unturned,
)
from tiler.intake.photo.trust.measured import places_on

#: Tables that are imagined.
DRAWS = 300
#: The stated figures hold for this part of them.
HELD = 0.92
#: The part of the line that the first figure speaks of.
MOST = 0.95

_CONDITIONS = {
    How.EDGES: "if the paper lies as flat as its edges look",
    How.PARALLAX: "with the paper as flat as the photos show it",
    How.SCAN: "",
    How.ALLOWED: "if the paper was smoothed out flat, which the photo cannot show",
}


@dataclass(frozen=True)
class Part:
    """What one cause adds.

    Args:
        cause: In a few words.
        p95: The figure if nothing else were wrong, millimetres.
    """

    cause: str
    p95: float


@dataclass(frozen=True, eq=False)
class Accuracy:
    """How far the drawn lines may lie from the true ones, after turning and shifting.

    Args:
        p95: 95 % of the length of the lines are nearer, millimetres.
        worst: All of it is nearer, millimetres.
        worst_at: The place on the table that is least sure, millimetres.
        worst_where: That in words, such as "at the lower right".
        parts: What each cause would do alone, the greatest first.
        condition: What has to be true for it, such as "if ..."; empty for nothing.
        along: Points on the lines -> how far off they may be, millimetres, (n, 2) -> (n,).
    """

    p95: float
    worst: float
    worst_at: tuple[float, float]
    worst_where: str
    parts: tuple[Part, ...]
    condition: str
    along: Callable[[Points], Numbers] = field(repr=False)

    @property
    def words(self) -> str:
        """All of it in one sentence, without a full stop."""
        condition = f", {self.condition}" if self.condition else ""
        return (
            f"lines are within {tenths(self.p95)} mm (95 % of their length),"
            f" worst {tenths(self.worst)} mm {self.worst_where}{condition}"
        )

    @property
    def causes(self) -> str:
        """What each cause would do alone, in one sentence without a full stop."""
        told = [f"{part.cause} {tenths(part.p95)} mm" for part in self.parts if part.p95 >= 0.01]
        return f"of this, by itself: {', '.join(told)}"


def accuracy_of(
    tracings: Sequence[Tracing],
    drawn: Sequence[Sequence[DrawnPath]],
    solved: Solved,
    flatness: Flatness,
) -> Accuracy:
    """How near to the truth drawn lines are.

    Args:
        tracings: The lines as they were measured.
        drawn: The lines as they are handed on, for each tracing.
        solved: How sure places on the table are.
        flatness: How flat the paper lay.
    """
    places = places_on(tracings, drawn)
    chance = np.random.default_rng(95)
    causes = {
        "cards, camera and print scale": places_drawn(
            places, solved.spread(places.points), DRAWS, chance
        ),
        "paper that is not flat": heights_drawn(places, flatness, DRAWS, chance),
        "the line itself": line_drawn(places, DRAWS, chance),
    }
    whole = np.abs(unturned(places, np.sum(list(causes.values()), axis=0)))
    parts = [Part(name, _p95(np.abs(unturned(places, e)))) for name, e in causes.items()]
    here = np.quantile(whole, MOST, axis=1)
    worst = int(here.argmax())
    return Accuracy(
        p95=_p95(whole),
        worst=float(np.quantile(whole.max(axis=0), HELD)),
        worst_at=(float(places.points[worst, 0]), float(places.points[worst, 1])),
        worst_where=_where(places.points, places.points[worst]),
        parts=tuple(sorted(parts, key=lambda part: -part.p95)),
        condition=_CONDITIONS[flatness.how],
        along=_nearest(places, here),
    )


def tenths(length: float) -> str:
    """Millimetres to a tenth, never too small."""
    return f"{math.ceil(length * 10 - 0.05) / 10:.1f}"


def _p95(errors: NDArray[np.float64]) -> float:
    """What most of the line stays under in most of the tables; errors (places, tables)."""
    return float(np.quantile(np.quantile(errors, MOST, axis=0), HELD))


def _nearest(places: Places, values: Numbers) -> Callable[[Points], Numbers]:
    """The value of the nearest place."""
    from scipy.spatial import KDTree

    tree = KDTree(places.points)

    def along(points: Points) -> Numbers:
        return np.asarray(values[tree.query(points)[1]])

    return along


def _where(points: Points, place: Points) -> str:
    """Where a place is among points, in words."""
    low, high = points.min(axis=0), points.max(axis=0)
    share = (place - low) / np.maximum(high - low, 1e-9)
    upright = "lower" if share[1] < 1 / 3 else "upper" if share[1] > 2 / 3 else ""
    across = "left" if share[0] < 1 / 3 else "right" if share[0] > 2 / 3 else ""
    if upright and across:
        return f"at the {upright} {across}"
    if across:
        return f"on the {across}"
    if upright:
        return f"at the {upright} end"
    return "in the middle"
