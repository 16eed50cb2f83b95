"""What picture a real projector can throw on a flat mat.

The light comes from one point. Pixels are square, the throw (distance over width of the picture)
is that of a room's projector, its lens points straight ahead or is offset upwards by about as much
as ceiling projectors are, and it may be tilted about two axes. None of this is used to find where
the picture lies: it only tells which of the measured numbers is the odd one out when they do not
agree.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from tiler.layout.mats.descent import Misses, Rows, least, slopes_of
from tiler.layout.mats.lengths import lengths_between

Array = npt.NDArray[np.float64]


class Lens(NamedTuple):
    """A kind of lens: its offset upwards in heights of the picture, and how common it is."""

    offset: float
    spread: float
    share: float


#: What is likely: the logarithm of the throw, and tilts about two axes (radians), each with its
#: standard deviation; the offset sideways in widths; the kinds of lenses. The logarithm of the
#: distance is open. Common practice, no source.
_MIDDLE = (np.log(1.3), 0.0, 0.0)
_SPREAD = (0.4, 0.22, 0.22)
_SIDEWAYS = 0.02
_ANY_LENS = Lens(0.0, 0.4, 0.3)
_LENSES = (Lens(0.0, 0.02, 0.3), Lens(0.55, 0.1, 0.2), Lens(-0.55, 0.1, 0.2))
#: Tilts that are tried as a start, radians.
_TILTS = ((0.0, 0.0), (0.2, 0.2), (0.2, -0.2), (-0.2, 0.2), (-0.2, -0.2))
#: Of the search: see `least`.
_SMALL, _LONGEST, _ENOUGH = 1e-6, 0.5, 1e-3
#: The first search only chooses where the others begin, and may end so much earlier.
_ROUGHLY = 1.0
#: The least share of a ray's length that goes towards the mat.
_GRAZING = 0.05


@dataclass(frozen=True)
class Thrown:
    """The likeliest projector for some lengths.

    Args:
        lengths: What it would show, mm, in the order of the names.
        spread: Standard deviation of each of these, mm.
        likelihood: Logarithm of how likely the lengths that were held are with any projector
            (Laplace's method, summed over the kinds of lenses), but for a constant.
    """

    lengths: Array
    spread: Array
    likelihood: float


def likeliest(
    names: tuple[str, ...], lengths: Array, held: Array, noise: float, aspect: float
) -> list[Thrown]:
    """The likeliest projector for each of several readings of the numbers.

    Args:
        names: Of the lengths.
        lengths: (readings, names), mm.
        held: (readings, names): 1 where a length is taken for true, 0 where it is not.
        noise: Standard deviation of a length, mm.
        aspect: Height over width of the grid in pixels.
    """

    times = len(_TILTS)

    def found(
        lenses: Sequence[Lens], times: int, begun: Array, enough: float
    ) -> tuple[Misses, Array, Array]:
        """Every reading with every lens, so many times each, at once."""
        each = len(lengths) * times
        middle = np.repeat([(*_MIDDLE, lens.offset, 0.0) for lens in lenses], each, axis=0)
        spread = np.repeat([(*_SPREAD, lens.spread, _SIDEWAYS) for lens in lenses], each, axis=0)
        wanted, weight = (
            np.tile(np.repeat(part, times, axis=0), (len(lenses), 1))
            for part in (lengths, held / noise)
        )

        def misses(state: Array, rows: Rows) -> Array:
            seen = lengths_between(_shown(state, aspect), names)
            unlikely = (state[:, 1:] - middle[rows]) / spread[rows]
            return np.concatenate([weight[rows] * (seen - wanted[rows]), unlikely], axis=1)

        state = least(misses, begun, _SMALL, _LONGEST, enough)
        return misses, state, misses(state, np.arange(len(state)))

    starts = np.array([(0.0, _MIDDLE[0], x, y, 0.0, 0.0) for x, y in _TILTS])
    state = np.tile(starts, (len(lengths), 1))
    apart = np.log(np.repeat(lengths, times, axis=0)) - np.log(
        lengths_between(_shown(state, aspect), names)
    )
    # Most numbers are sound, so half of them tell how far away the projector is.
    state[:, 0] = np.median(apart, axis=1)
    _, state, off = found((_ANY_LENS,), times, state, _ROUGHLY)
    cost = (off**2).sum(axis=1).reshape(len(lengths), times)
    best = state[cost.argmin(axis=1) + np.arange(len(lengths)) * times]

    lenses = (_ANY_LENS, *_LENSES)
    begun = np.tile(best, (len(lenses), 1, 1))
    for kind, lens in enumerate(_LENSES, start=1):
        begun[kind, :, 4] = lens.offset
    misses, state, off = found(lenses, 1, begun.reshape(-1, best.shape[1]), _ENOUGH)
    slopes = slopes_of(misses, state, np.arange(len(state)), off, _SMALL)
    square = np.einsum("nij,nik->njk", slopes, slopes)
    fit = ((off**2).sum(axis=1) + np.linalg.slogdet(square)[1]).reshape(len(lenses), -1)
    common = np.log([lens.share / lens.spread for lens in lenses])
    score = common[:, None] - fit / 2
    states = state.reshape(begun.shape)
    squares = square.reshape(*begun.shape, -1)
    return [
        _thrown(
            states[kind][number],
            squares[kind][number],
            float(np.logaddexp.reduce(score[:, number])),
            names,
            aspect,
        )
        for number, kind in enumerate(score.argmax(axis=0))
    ]


def _thrown(
    state: Array, square: Array, likelihood: float, names: tuple[str, ...], aspect: float
) -> Thrown:
    def lengths(tried: Array, _rows: Rows) -> Array:
        return lengths_between(_shown(tried, aspect), names)

    one, row = state[None], np.arange(1)
    seen = lengths(one, row)
    rises = slopes_of(lengths, one, row, seen, _SMALL)[0]
    spread = np.sqrt(np.einsum("ij,jk,ik->i", rises, np.linalg.inv(square), rises))
    return Thrown(seen[0], spread, likelihood)


def _shown(state: Array, aspect: float) -> Array:
    """Where the grid's corners fall, (n, 4, 2), mm.

    Args:
        state: (n, 6): logarithms of the distance (mm) and of the throw, tilts, offsets.
        aspect: Height over width of the grid in pixels.
    """
    distance, throw = np.exp(state[:, 0]), np.exp(state[:, 1])
    across = np.array([-0.5, 0.5, 0.5, -0.5]) + state[:, 5, None]
    up = (np.array([-0.5, -0.5, 0.5, 0.5]) + state[:, 4, None]) * aspect
    ahead = np.broadcast_to(throw[:, None], up.shape)
    up, ahead = _turned(up, ahead, state[:, 2])
    across, ahead = _turned(across, ahead, state[:, 3])
    # A ray that hardly meets the mat lands far away instead of behind the projector.
    reach = distance[:, None] / np.maximum(ahead, _GRAZING)
    return np.stack([across * reach, up * reach], axis=-1)


def _turned(a: Array, b: Array, by: Array) -> tuple[Array, Array]:
    cos, sin = np.cos(by)[:, None], np.sin(by)[:, None]
    return cos * a - sin * b, sin * a + cos * b
