"""What the paper's cut edges tell of waves in it.

Paper that stands h above the table, seen from a slant, shows h times the slant further from the
camera's foot. So a straight edge bends where the paper waves. A person's cutting bends it as well.
Both are weighed as random fields (Rasmussen and Williams, Gaussian Processes for Machine Learning,
2006, chapter 5): waves are one field of the whole paper, and bend each edge by its own slant;
cutting bends every edge by itself, and a curved cut is a parabola that nothing is read from.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Numbers, Points
from tiler.intake.photo.trust.paperedge import PaperEdge

Matrix = NDArray[np.float64]

#: Places along an edge, and what is averaged at each, millimetres.
_STEP = 20.0
#: An edge must shift at least so much for each millimetre of height, or it says nothing.
_LEAST_SLANT = 0.1
#: Waves of paper, millimetres, all as likely.
_WAVES = (180.0, 240.0, 320.0, 420.0, 560.0, 750.0)
#: Standard deviations of height that are weighed, millimetres, and the scale of how likely each is
#: beforehand (half a Cauchy distribution): paper that was smoothed out by hand.
_HEIGHTS = np.concatenate(([0.0], np.geomspace(0.12, 7.0, 11)))
_HEIGHT_SCALE = 0.7
#: Uneven cutting: likewise.
_CUTS = np.array([0.05, 0.12, 0.3, 0.7, 1.5, 3.0])
_CUT_SCALE = 0.5
#: How long its bends are, millimetres, and how likely beforehand; the last is a tear, which is
#: rough at all lengths up to this one.
_BENDS = ((8.0, 0.3), (18.0, 0.3), (36.0, 0.2))
_TEAR = (150.0, 0.2)
#: Height of the curve that all edges may be cut to, millimetres, and how likely beforehand.
_CURVES = ((0.3, 0.85), (5.0, 0.15))
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
        height: The most believable (median).
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
        smooth = np.convolve(np.pad(off, 1, mode="reflect"), np.full(3, 1 / 3), mode="valid")
        ragged = 1.4826 * float(np.median(np.abs(off - smooth)))
        waves.append(EdgeWave(points, along, off, noise, slants, ragged))
    return waves


def said_by(waves: Sequence[EdgeWave]) -> EdgesSay | None:
    """The paper's height as its edges show it; None when no edge can tell."""
    if not waves:
        return None
    chances = _chances(waves)
    total = np.cumsum(chances)
    least, middle = (float(np.interp(q, total, _HEIGHTS)) for q in (0.1, 0.5))
    mean = float(chances @ _HEIGHTS)
    unsure = float(np.sqrt(chances @ (_HEIGHTS - mean) ** 2))
    return EdgesSay(middle, unsure, least, _both_ways(waves))


def _chances(waves: Sequence[EdgeWave]) -> Numbers:
    """How likely each of `_HEIGHTS` is, given the edges; the sum is 1."""
    off = np.concatenate([wave.off for wave in waves])
    paper = _root(_paper_field(waves))
    noise = np.diag(np.concatenate([wave.noise**2 for wave in waves]))
    cells = np.gradient(_HEIGHTS)
    before = np.log(cells / (1 + (_HEIGHTS / _HEIGHT_SCALE) ** 2))
    logs = []
    kinds = [(bend, 2.0, chance) for bend, chance in _BENDS] + [(_TEAR[0], 1.0, _TEAR[1])]
    for (curve, curved), (bend, power, bent) in product(_CURVES, kinds):
        free = noise + _by_edge(waves, partial(_freedom, curve=curve))
        cutting = _by_edge(waves, partial(_alike, bend=bend, power=power))
        for cut, size in zip(_CUTS, np.gradient(_CUTS), strict=True):
            rest = free + cut**2 * cutting
            likely = np.log(curved * bent * size / (1 + (cut / _CUT_SCALE) ** 2))
            logs.append(likely + _log_densities(off, rest, paper))
    joined = np.array(logs)
    weights = np.exp(joined - joined.max()).sum(axis=0) * np.exp(before)
    return np.asarray(weights / weights.sum())


def _paper_field(waves: Sequence[EdgeWave]) -> Matrix:
    """Covariance of the edges' shifts for waves of one millimetre, alike in all directions.

    Waves of one length in all directions covary by a Bessel function of the distance.
    """
    from scipy.special import j0

    points = np.concatenate([wave.points for wave in waves])
    slant = np.concatenate([wave.slant for wave in waves])
    apart = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    field = sum(j0(apart * (2 * np.pi / length)) for length in _WAVES) / len(_WAVES)
    return np.asarray(field * slant[:, None] * slant[None])


def _by_edge(waves: Sequence[EdgeWave], of: Callable[[EdgeWave], Matrix]) -> Matrix:
    """A matrix with one block for each edge."""
    from scipy.linalg import block_diag

    return np.asarray(block_diag(*(of(wave) for wave in waves)))


def _freedom(wave: EdgeWave, curve: float) -> Matrix:
    """Covariance of a shift, a slope and a curve that are not known."""
    t = 2 * (wave.along - wave.along[0]) / np.ptp(wave.along) - 1
    columns = np.column_stack((_FREE * np.ones(len(t)), _FREE * t, curve * (t**2 - 1 / 3)))
    return np.asarray(columns @ columns.T)


def _alike(wave: EdgeWave, bend: float, power: float) -> Matrix:
    """How alike the places of an edge are; smooth for a power of 2, rough for 1."""
    apart = np.abs(wave.along[:, None] - wave.along[None]) / bend
    return np.asarray(np.exp(-(apart**power) / power))


def _root(covariance: Matrix) -> Matrix:
    """A narrow matrix whose product with its transpose is the covariance."""
    sizes, ways = np.linalg.eigh(covariance)
    kept = sizes > 1e-7 * sizes[-1]
    return np.asarray(ways[:, kept] * np.sqrt(sizes[kept]))


def _log_densities(values: Numbers, rest: Matrix, root: Matrix) -> Numbers:
    """Logarithm of the normal density of the values about nil for each of `_HEIGHTS`.

    The covariance is the rest and the squared height times that of the root; Woodbury's formula
    and the lemma for its determinant give all heights from one factor (Rasmussen and Williams,
    appendix A.3). The constant is left out.
    """
    from scipy.linalg import solve_triangular

    factor = np.linalg.cholesky(rest)
    both = solve_triangular(factor, np.column_stack((values, root)), lower=True, check_finite=False)
    plain, bent = both[:, 0], both[:, 1:]
    sizes, ways = np.linalg.eigh(bent.T @ bent)
    seen = (ways.T @ (bent.T @ plain)) ** 2
    squares = _HEIGHTS[:, None] ** 2
    grown = 1 + squares * np.maximum(sizes, 0)
    left = plain @ plain - (squares * seen / grown).sum(axis=1)
    return np.asarray(-0.5 * left - 0.5 * np.log(grown).sum(axis=1) - np.log(np.diag(factor)).sum())


def _both_ways(waves: Sequence[EdgeWave]) -> bool:
    """Whether two edges run more than 30 degrees apart."""
    ways = [wave.points[-1] - wave.points[0] for wave in waves]
    units = [way / np.hypot(*way) for way in ways]
    return any(abs(a[0] * b[1] - a[1] * b[0]) > 0.5 for a in units for b in units)
