"""Which of the measured numbers is wrong, when they do not fit together."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.mats import slips
from tiler.layout.mats.lengths import in_order
from tiler.layout.mats.projector import likeliest
from tiler.layout.mats.quadrilateral import misfits, most_misfit

Array = npt.NDArray[np.float64]

#: How common it is that one number is wrong, and that two have changed places; common practice,
#: no source.
_ONE, _TWO = 0.85, 0.15
#: A further suspect is named while it is at least so likely as this, in shares of the likeliest.
_NEARLY = 0.2
#: What is named, and named as less likely, together holds the wrong number so surely.
_SURE = 0.97


@dataclass(frozen=True)
class Suspect:
    """A number that may be wrong, or two that may have changed places.

    Args:
        names: Of the length; two when they may have changed places.
        likely: From 0 to 1, among all suspects.
        fits: What would fit in its place, mm; None for two that have changed places.
        spread: Standard deviation of that, mm.
    """

    names: tuple[str, ...]
    likely: float
    fits: float | None = None
    spread: float = 0.0


def suspects(lengths: Mapping[str, float], noise: float, aspect: float) -> list[Suspect]:
    """All suspects, the likeliest first.

    Each number in turn is supposed to be wrong and the others right. What speaks for it is how
    well the others go with a real projector (`projector.likeliest`), and how easily the number was
    written for the one that fits (`slips.likelihood`); so by Bayes' rule.

    Args:
        lengths: By name (`lengths.NAMES`), mm.
        noise: Standard deviation of a length, mm.
        aspect: Height over width of the grid in pixels.

    Raises:
        ProjectionError: One of the six is missing or no length.
    """
    names, given = in_order(lengths)
    count = len(names)
    pairs = _exchanged(names, given, noise)
    readings, held = np.tile(given, (count + len(pairs), 1)), np.ones((count + len(pairs), count))
    held[range(count), range(count)] = 0.0
    for row, (one, other) in enumerate(pairs, start=count):
        readings[row, [one, other]] = given[[other, one]]
    thrown = likeliest(names, readings, held, noise, aspect)
    scores: list[float] = []
    found: list[Suspect] = []
    for number, name in enumerate(names):
        true, spread = float(thrown[number].lengths[number]), float(thrown[number].spread[number])
        spread = math.hypot(spread, noise)
        written = slips.likelihood(float(given[number]), true, spread)
        scores.append(math.log(_ONE / count) + thrown[number].likelihood + written)
        found.append(Suspect((name,), 0.0, true, spread))
    for row, (one, other) in enumerate(pairs, start=count):
        # One more length is held: its bell curve has a height.
        bell = -math.log(noise * math.sqrt(2 * math.pi))
        scores.append(math.log(_TWO / len(pairs)) + thrown[row].likelihood + bell)
        found.append(Suspect((names[one], names[other]), 0.0))
    shares = np.exp(np.array(scores) - np.logaddexp.reduce(scores))
    ranked = sorted(zip(shares, found, strict=True), key=lambda pair: -pair[0])
    return [Suspect(s.names, float(share), s.fits, s.spread) for share, s in ranked]


def _exchanged(names: tuple[str, ...], given: Array, noise: float) -> list[tuple[int, int]]:
    """The pairs of numbers that fit together when they change places."""
    pairs = list(itertools.combinations(range(len(names)), 2))
    readings = np.tile(given, (len(pairs), 1))
    for row, (one, other) in enumerate(pairs):
        readings[row, [one, other]] = given[[other, one]]
    most = most_misfit(noise, len(names) - 5)
    off = misfits(names, readings)
    return [pair for pair, misfit in zip(pairs, off, strict=True) if misfit <= most]


def to_name(ranked: list[Suspect]) -> list[Suspect]:
    """The suspects that should be named: the likeliest, and those that are nearly as likely."""
    return [suspect for suspect in ranked if suspect.likely >= _NEARLY * ranked[0].likely]


def less_likely(ranked: list[Suspect], named: int) -> list[Suspect]:
    """The single numbers that follow those that are named, until one among all is surely wrong.

    Args:
        ranked: All suspects, the likeliest first.
        named: How many of them are named.
    """
    held, found = sum(suspect.likely for suspect in ranked[:named]), []
    for suspect in ranked[named:]:
        if held >= _SURE:
            break
        held += suspect.likely
        found.append(suspect)
    return [suspect for suspect in found if len(suspect.names) == 1]
