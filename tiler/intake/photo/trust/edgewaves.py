"""What the paper's cut edges tell of waves in it.

Paper that stands h above the table, seen from a slant, shows h times the slant further from the
camera's foot. So a straight edge bends where the paper waves. A person's cutting bends it as well.
Both are weighed as random fields (Rasmussen and Williams, Gaussian Processes for Machine Learning,
2006, chapter 5): waves are one field of the whole paper, and bend each edge by its own slant;
cutting bends every edge by itself. A sheet from a roll, or one that was cut along a line, bows by
about a millimetre, so a bow of many millimetres that fits the slant of its edge is read as height.
Waves may be of any one length: edges that look straight speak against short ones, but long ones
hide in the shift and slope of each edge, and what is usual then stays as likely as it was.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Numbers, Points
from tiler.intake.photo.trust.paperedge import PaperEdge

Matrix = NDArray[np.float64]

#: Places along an edge, and what is averaged at each, millimetres.
_STEP = 20.0
#: An edge must shift at least so much for each millimetre of height, or it says nothing.
_LEAST_SLANT = 0.1
#: Waves of paper, millimetres: between two neighbours, all as likely.
_WAVES = (180.0, 240.0, 320.0, 420.0, 560.0, 750.0)
#: Directions that waves run in.
_DIRECTIONS = 8
#: Standard deviations of height that are weighed, millimetres.
_HEIGHTS = np.geomspace(0.08, 8.0, 14)
#: The usual one of paper that was smoothed out by hand: some 3 mm from trough to crest are five
#: standard deviations. Common practice, no source. Its logarithm follows Student's distribution,
#: so wide and with so many degrees of freedom: paper that clearly waves more is believed to.
USUAL, _USUAL_WITHIN, _TAIL = 0.53, 0.65, 5.0
#: Uneven cutting likewise, and the scale of how likely each is beforehand (half a Cauchy
#: distribution).
_CUTS = np.array([0.05, 0.12, 0.3, 0.7, 1.5, 3.0])
_CUT_SCALE = 0.5
#: How long its bends are, millimetres, and how likely beforehand; the last is a tear, which is
#: rough at all lengths up to this one.
_BENDS = ((8.0, 0.3), (18.0, 0.3), (36.0, 0.2))
_TEAR = (150.0, 0.2)
#: How far edges may be cut to a bow, as a standard deviation, millimetres from the middle to the
#: ends of a long edge, and how likely beforehand: factory or along a line, by eye, badly. Common
#: practice, no source.
_CURVES = ((0.4, 0.75), (1.2, 0.23), (4.0, 0.02))
#: That holds for edges of this length or longer, and less for shorter ones, millimetres.
_LONG = 600.0
#: Shift and slope of an edge are left wholly free, millimetres.
_FREE = 30.0


@dataclass(frozen=True, eq=False)
class EdgeWave:
    """One edge, a place every 20 mm.

    Args:
        points: Where, (n, 2), millimetres.
        along: Millimetres along it.
        off: Outwards from a straight line, millimetres.
        noise: Standard uncertainty of `off`, of each place by itself.
        slant: Shift outwards for each millimetre of height.
        ragged: Root mean square of bends shorter than about 60 mm, millimetres.
    """

    points: Points
    along: Numbers
    off: Numbers
    noise: Numbers
    slant: Numbers
    ragged: float

    @property
    def rise(self) -> float:
        """From trough to crest if the edge was cut straight, millimetres."""
        low, high = np.percentile(self.off, (4, 96))
        return max(float(high - low) - 4 * self.ragged, 0.0) / float(np.median(np.abs(self.slant)))


@dataclass(frozen=True)
class EdgesSay:
    """The standard deviation of the paper's height as its edges tell, millimetres.

    Args:
        height: The mean of what is believable.
        unsure: Standard uncertainty of it.
        least: It is higher with a probability of nine tenths.
        both_ways: Whether edges of clearly different directions were seen.
    """

    height: float
    unsure: float
    least: float
    both_ways: bool


def waves_of(edges: Sequence[PaperEdge], slant: Callable[[Points], Points]) -> list[EdgeWave]:
    """Edges as places; those that are seen too steeply to tell are left out."""
    waves = []
    for edge in edges:
        cell = np.floor((edge.along - edge.along[0]) / _STEP).astype(np.int64)
        count = np.bincount(cell)
        taken = count >= 3

        def mean(values: Numbers, cell: NDArray[np.int64] = cell) -> Numbers:
            count = np.bincount(cell)
            return np.asarray((np.bincount(cell, values) / np.maximum(count, 1))[count >= 3])

        points = np.column_stack((mean(edge.points[:, 0]), mean(edge.points[:, 1])))
        slants = slant(points) @ np.array(edge.outward)
        if len(points) < 8 or np.median(np.abs(slants)) < _LEAST_SLANT:
            continue
        off, along = mean(edge.off), mean(edge.along)
        # What stays after a straight line through each cell is noise and short kinks.
        kinks = edge.off - np.interp(edge.along, along, off)
        spread = 1.4826 * float(np.median(np.abs(kinks)))
        noise = np.hypot(0.03, spread / np.sqrt(count[taken] / 2))
        # A parabola through five places follows waves, and uneven cutting leaves it.
        smooth = np.convolve(off, np.array([-3, 12, 17, 12, -3]) / 35, mode="valid")
        ragged = 1.4826 * float(np.median(np.abs(off[2:-2] - smooth)))
        waves.append(EdgeWave(points, along, off, noise, slants, ragged))
    return waves


def said_by(waves: Sequence[EdgeWave]) -> EdgesSay | None:
    """The paper's height as its edges show it; None when no edge can tell."""
    if not waves:
        return None
    chances = _chances(waves)
    least = float(np.interp(0.1, np.cumsum(chances), _HEIGHTS))
    mean = float(chances @ _HEIGHTS)
    unsure = float(np.sqrt(chances @ (_HEIGHTS - mean) ** 2))
    return EdgesSay(mean, unsure, least, _both_ways(waves))


def _chances(waves: Sequence[EdgeWave]) -> Numbers:
    """How likely each of `_HEIGHTS` is, given the edges; the sum is 1."""
    roots = [_roots(waves, lengths) for lengths in pairwise(_WAVES)]
    away = np.log(_HEIGHTS / USUAL) / _USUAL_WITHIN
    before = -(_TAIL + 1) / 2 * np.log1p(away**2 / _TAIL)
    logs = []
    kinds = [(bend, 2.0, chance) for bend, chance in _BENDS] + [(_TEAR[0], 1.0, _TEAR[1])]
    for (curve, curved), (bend, power, bent) in product(_CURVES, kinds):
        free = [np.diag(wave.noise**2) + _freedom(wave, curve) for wave in waves]
        cutting = [_alike(wave, bend, power) for wave in waves]
        for cut, size in zip(_CUTS, np.gradient(_CUTS), strict=True):
            rest = [f + cut**2 * c for f, c in zip(free, cutting, strict=True)]
            likely = np.log(curved * bent * size / (1 + (cut / _CUT_SCALE) ** 2))
            logs.append(likely + _log_densities([wave.off for wave in waves], rest, roots))
    joined = np.array(logs)
    weights = np.exp(joined - joined.max()).sum(axis=(0, 1)) * np.exp(before)
    return np.asarray(weights / weights.sum())


def _roots(waves: Sequence[EdgeWave], lengths: tuple[float, float]) -> list[Matrix]:
    """Shifts of the places of each edge by waves about as long, one millimetre high.

    Waves in all directions, sine and cosine of each: a root of their covariance.
    """
    turns = np.arange(_DIRECTIONS) * (np.pi / _DIRECTIONS)
    ways = np.vstack((np.cos(turns), np.sin(turns))) * (2 * np.pi)
    numbers = np.hstack([ways / length for length in lengths])
    roots = []
    for wave in waves:
        phases = wave.points @ numbers
        both = np.hstack((np.cos(phases), np.sin(phases))) / np.sqrt(numbers.shape[1])
        roots.append(both * wave.slant[:, None])
    return roots


def _freedom(wave: EdgeWave, curve: float) -> Matrix:
    """Covariance of a shift, a slope and a curve that are not known."""
    t = 2 * (wave.along - wave.along[0]) / np.ptp(wave.along) - 1
    bow = curve * min(float(np.ptp(wave.along)) / _LONG, 1.0)
    columns = np.column_stack((_FREE * np.ones(len(t)), _FREE * t, bow * (t**2 - 1 / 3)))
    return np.asarray(columns @ columns.T)


def _alike(wave: EdgeWave, bend: float, power: float) -> Matrix:
    """How alike the places of an edge are; smooth for a power of 2, rough for 1."""
    apart = np.abs(wave.along[:, None] - wave.along[None]) / bend
    return np.asarray(np.exp(-(apart**power) / power))


def _log_densities(
    values: Sequence[Numbers], rest: Sequence[Matrix], roots: Sequence[Sequence[Matrix]]
) -> Numbers:
    """Logarithm of the normal density of the values about nil, (roots, heights).

    The covariance is the rest, which has a block for each edge, and the squared height times that
    of a root; Woodbury's formula and the lemma for its determinant give all heights from one factor
    (Rasmussen and Williams, appendix A.3). The constant is left out.

    Args:
        values: Of each edge.
        rest: Covariance of each edge by itself.
        roots: For each kind of wave, the rows of each edge.
    """
    widths = np.cumsum([kind[0].shape[1] for kind in roots])
    whole, plain, bent = 0.0, 0.0, []
    for edge, (value, block) in enumerate(zip(values, rest, strict=True)):
        factor = np.linalg.cholesky(block)
        columns = np.column_stack((value, *(kind[edge] for kind in roots)))
        # LAPACK's own way to solve this starts threads that cost far more than the inverse.
        both = np.linalg.inv(factor) @ columns
        plain += float(both[:, 0] @ both[:, 0])
        whole += float(np.log(np.diag(factor)).sum())
        bent.append(both)
    out = []
    squares = _HEIGHTS[:, None] ** 2
    for first, last in zip((0, *widths[:-1]), widths, strict=True):
        kinds = [both[:, 1 + first : 1 + last] for both in bent]
        sizes, ways = np.linalg.eigh(sum(kind.T @ kind for kind in kinds))
        pull = sum(kind.T @ both[:, 0] for kind, both in zip(kinds, bent, strict=True))
        seen = (ways.T @ pull) ** 2
        grown = 1 + squares * np.maximum(sizes, 0)
        left = plain - (squares * seen / grown).sum(axis=1)
        out.append(-0.5 * left - 0.5 * np.log(grown).sum(axis=1) - whole)
    return np.array(out)


def _both_ways(waves: Sequence[EdgeWave]) -> bool:
    """Whether two edges run more than 30 degrees apart."""
    ways = [wave.points[-1] - wave.points[0] for wave in waves]
    units = [way / np.hypot(*way) for way in ways]
    return any(abs(a[0] * b[1] - a[1] * b[0]) > 0.5 for a in units for b in units)
