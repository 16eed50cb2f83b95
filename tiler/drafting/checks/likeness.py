"""Whether two outlines have the same shape, and whether one is its own mirror image."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

from tiler.drafting.points import Floats, flattened
from tiler.drafting.rings import FLAT
from tiler.pattern.model import Outline

#: Outlines that differ nowhere by more (millimetres) have the same shape. Our choice: the width of
#: a traced line and the hand that traced it.
SAME = 1.0
#: Places round an outline that are compared.
_PLACES = 2048
#: The best fits are measured exactly, the rest are not near.
_TRIED = 4
#: How many places tell of most ways to lay it that they do not fit.
_SOME = 64
#: What (millimetres) is no better fit.
_BETTER = 0.01
#: Millimetres between the points of lines whose distance is taken.
_STEP = 4.0

Complex = npt.NDArray[np.complex128]


@dataclass(frozen=True, slots=True)
class Likeness:
    """How nearly two outlines fit.

    Args:
        off: The largest distance in millimetres between them, laid upon one another.
        mirrored: Whether one had to be turned over.
    """

    off: float
    mirrored: bool

    @property
    def same(self) -> bool:
        """Whether they differ nowhere by more than 1 mm."""
        return self.off <= SAME


def likeness(one: Outline, other: Outline) -> Likeness:
    """How nearly two outlines fit, whichever way round they are laid; the better side up.

    Args:
        one: Closed.
        other: Closed.
    """
    straight, over = fit(one, other, mirrored=False), fit(one, other, mirrored=True)
    # Equal either way, turning over is not needed.
    return Likeness(over, True) if over < straight - _BETTER else Likeness(straight, False)


def symmetric(outline: Outline) -> bool:
    """Whether a piece is the same turned over: then it has no left and right."""
    return fit(outline, outline, mirrored=True, enough=SAME) <= SAME


def fit(one: Outline, other: Outline, *, mirrored: bool, enough: float = 0.0) -> float:
    """The largest distance (millimetres) between two outlines, laid upon one another.

    Infinite where the areas, or some places, tell that it is well over 1 mm.

    Both are sampled at equal distances; for every shift of one along the other, the turn that fits
    best in least squares is the angle of the sum of products of the complex coordinates
    (Procrustes in the plane), and all shifts come from one Fourier transform. The best few are
    measured as the Hausdorff distance of the lines.

    Args:
        one: Closed.
        other: Closed.
        mirrored: Whether the other is turned over first.
        enough: A distance (millimetres) that is good enough: no better way is looked for then.
    """
    if abs(one.area - other.area) > SAME * one.path.length:
        # No line within 1 mm of another encloses so much more or less.
        return float("inf")
    a, b = _sampled(one), _sampled(other)
    if mirrored:
        b = np.conj(b)[::-1]
    products = np.fft.ifft(np.fft.fft(a) * np.conj(np.fft.fft(b)))
    size = np.abs(products)
    # Peaks only: the neighbours of the best shift are no other way to lay it.
    peaks = np.flatnonzero((size >= np.roll(size, 1)) & (size >= np.roll(size, -1)))
    line, drawn = _ring(_drawn(one)), _drawn(other)
    if mirrored:
        drawn = np.conj(drawn)
    best = float("inf")
    for shift in peaks[np.argsort(size[peaks])[::-1][:_TRIED]]:
        moved = drawn * (products[shift] / max(float(size[shift]), 1e-30))
        some = moved[:: max(1, len(moved) // _SOME)]
        if shapely.distance(shapely.points(some.real, some.imag), line).max() > SAME + 2 * _BETTER:
            continue
        best = min(best, float(shapely.hausdorff_distance(line, _ring(moved))))
        if best <= enough:
            break
    return best


def _ring(points: Complex) -> shapely.LinearRing:
    ring: shapely.LinearRing = shapely.LinearRing(np.column_stack((points.real, points.imag)))
    # The distance is taken between points: long straight lines need some too.
    return shapely.segmentize(ring, _STEP)


def _drawn(outline: Outline) -> Complex:
    """The points of the line, about the middle of its sampled places."""
    points = _complex(flattened(outline.path, FLAT))
    return np.asarray(points - _places(points).mean())


def _sampled(outline: Outline) -> Complex:
    """Places at equal distances, about their middle."""
    places = _places(_complex(flattened(outline.path, FLAT)))
    return np.asarray(places - places.mean())


def _places(points: Complex) -> Complex:
    along = np.concatenate(([0.0], np.cumsum(np.abs(np.diff(points)))))
    at = np.arange(_PLACES) / _PLACES * along[-1]
    return np.asarray(np.interp(at, along, points.real) + 1j * np.interp(at, along, points.imag))


def _complex(pairs: Floats) -> Complex:
    return np.asarray(pairs[:, 0] + 1j * pairs[:, 1])
