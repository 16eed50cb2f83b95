"""How flat the paper lay, as far as the photos can tell.

Several photos measure heights along the ink (`parallax.py`); one photo shows them at the cut edges
of the paper only (`paperedge.py`, `edgewaves.py`). Where neither tells, an allowance is made.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from tiler.intake.photo.model import Flattened, Photo, Points, Solved, Web
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot
from tiler.intake.photo.trust.edgewaves import USUAL, EdgesSay, EdgeWave, said_by, waves_of
from tiler.intake.photo.trust.paperedge import edges_through
from tiler.intake.photo.trust.paperends import ends_of_paper, hidden_by
from tiler.intake.photo.trust.parallax import Heights, heights_of

#: Standard deviation of the height of paper that nothing is known about, and how unsure that is,
#: millimetres: paper smoothed out by hand and held down by cards. Common practice, no source.
ALLOWANCE, ALLOWANCE_UNSURE = USUAL, 0.3
#: Paper that looks flat may stand up where nothing shows it, millimetres; where edges in one
#: direction only were seen, a wave along them does not show.
UNSEEN, ONE_WAY = 0.1, 0.15
#: Two photos show heights along the ink only, millimetres.
_BESIDE = 0.15
#: Part of the height that is not told, since it is judged by a few waves.
_FEW = 0.1
#: Paper whose height has this standard deviation with certainty is refused: crests stand
#: about 7 mm over troughs, and lines seen at 20 degrees are off by up to 1.5 mm, millimetres.
REFUSED = 1.4
#: Doubted from here on, crest to trough, millimetres.
DOUBTED = 4.0
#: Trough to crest in standard deviations of the height, where several waves lie over one another.
_CRESTS = 5.0
#: Two edges must wave by so much before paper is refused, and be cut so evenly, millimetres.
_CLEAR, _EVEN = 3.0, 0.4
#: Fewer places where two photos tell a height are not used.
_PLACES = 40


class How(StrEnum):
    """What the flatness was read from."""

    EDGES = "edges"
    PARALLAX = "parallax"
    SCAN = "scan"
    ALLOWED = "allowed"


@dataclass(frozen=True, eq=False)
class Flatness:
    """How flat the paper lay.

    Args:
        height: Standard deviation of its height, millimetres.
        unsure: Standard uncertainty of `height`.
        how: What that was read from; nothing was known when it is `How.ALLOWED`.
        slant: Millimetres that a point is shown away from its place for each millimetre that it
            stands above the table, (n, 2) -> (n, 2).
        spots: Where it stands up or sinks most.
    """

    height: float
    unsure: float
    how: How
    slant: Callable[[Points], Points]
    spots: tuple[TableSpot, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the height was measured."""
        return self.how is not How.ALLOWED


def flatness_of(
    flattened: Flattened, web: Web, solved: Solved, photos: Sequence[Photo], doubts: Doubts
) -> Flatness:
    """How flat the paper lay.

    Raises:
        CaptureError: It waves so much that lines would be wrong by more than about 1.5 mm.
    """
    if solved.flat:
        return Flatness(0.0, 0.0, How.SCAN, lambda points: np.zeros((len(points), 2)))
    slant = slant_of(flattened, solved)
    heights = heights_of(web, photos, solved.cameras) if len(photos) > 1 else None
    if heights is not None and len(heights.heights) >= _PLACES:
        return _from_heights(heights, slant, doubts)
    hidden = hidden_by(flattened, solved)
    edges = edges_through(ends_of_paper(flattened, web, hidden), flattened, hidden)
    waves = waves_of(edges, slant)
    said = said_by(waves)
    if said is None:
        return Flatness(ALLOWANCE, ALLOWANCE_UNSURE, How.ALLOWED, slant)
    return from_edges(said, waves, slant, doubts)


def slant_of(flattened: Flattened, solved: Solved) -> Callable[[Points], Points]:
    """Shift on the table for each millimetre of height, by the camera that shows each place."""
    centres = np.array([camera.centre or (0.0, 0.0, np.inf) for camera in solved.cameras])
    taken = flattened.taken_from
    rows, columns = taken.shape

    def slant(points: Points) -> Points:
        pixels = np.round(flattened.to_pixels(points)).astype(np.int64)
        at = centres[
            taken[np.clip(pixels[:, 1], 0, rows - 1), np.clip(pixels[:, 0], 0, columns - 1)]
        ]
        return np.asarray((points - at[:, :2]) / at[:, 2:])

    return slant


def _from_heights(heights: Heights, slant: Callable[[Points], Points], doubts: Doubts) -> Flatness:
    """Flatness from heights along the ink."""
    middle = float(np.median(heights.heights))
    noise = float(np.median(heights.unsure))
    low, lower, upper, high = (
        float(value) for value in np.percentile(heights.heights, (3, 16, 84, 97))
    )
    height = float(np.sqrt(max(((upper - lower) / 2) ** 2 - noise**2, 0.0)))
    rise = max(high - low - 4 * noise, 0.0)
    order = np.argsort(-np.abs(np.clip(heights.heights, low, high) - middle))
    spots = tuple(TableSpot(heights.points[i : i + 1]) for i in _apart(heights.points, order))
    if height > REFUSED:
        raise _waves(rise, "the marked places", spots)
    if rise > DOUBTED:
        _doubt(rise, "", spots, doubts)
    unsure = float(np.linalg.norm((_BESIDE, noise / 2, _FEW * height)))
    return Flatness(height, unsure, How.PARALLAX, slant, spots)


def from_edges(
    said: EdgesSay, waves: Sequence[EdgeWave], slant: Callable[[Points], Points], doubts: Doubts
) -> Flatness:
    """Flatness from what the paper's edges say.

    Raises:
        CaptureError: Two edges or more wave too much.
    """
    order = sorted(waves, key=lambda wave: -wave.rise)
    clear = [wave for wave in order if wave.rise > _CLEAR and wave.ragged < _EVEN]
    spots = tuple(
        TableSpot(wave.points, label=f"{wave.rise:.0f} mm")
        for wave in order
        if wave.rise > _CLEAR / 2
    )
    # One edge alone may be cut unevenly.
    if said.least > REFUSED and len(clear) > 1:
        raise _waves(order[0].rise, "the marked edges", spots)
    rise = min(order[0].rise, _CRESTS * said.height)
    if rise > DOUBTED and _CRESTS * said.least > DOUBTED / 2:
        _doubt(rise, ", unless its edges were cut unevenly", spots, doubts)
    unseen = UNSEEN if said.both_ways else ONE_WAY
    unsure = float(np.linalg.norm((said.unsure, unseen, _FEW * said.height)))
    return Flatness(said.height, unsure, How.EDGES, slant, spots)


def _waves(rise: float, where: str, spots: tuple[TableSpot, ...]) -> CaptureError:
    return CaptureError(
        f"the paper waves by about {rise:.0f} mm, so its lines are not where they seem to be",
        where=where,
        remedy="Smooth the paper out, lay something flat and heavy on what stands up, away from"
        " lines and cards, and take the photo again.",
        table_spots=spots,
        code="paper-waves",
    )


def _doubt(rise: float, unless: str, spots: tuple[TableSpot, ...], doubts: Doubts) -> None:
    doubts.add(
        "paper-waves",
        f"The paper seems to wave by about {rise:.0f} mm{unless}; the stated accuracy allows for"
        " it. For a better result smooth it out and weigh it down.",
        table=spots,
    )


def _apart(points: Points, order: np.ndarray[tuple[int], np.dtype[np.int64]]) -> list[int]:
    """The first few of an order that lie at least 100 mm from one another."""
    chosen: list[int] = []
    for index in order:
        if all(np.hypot(*(points[index] - points[i])) > 100 for i in chosen):
            chosen.append(int(index))
        if len(chosen) == 5:
            break
    return chosen
