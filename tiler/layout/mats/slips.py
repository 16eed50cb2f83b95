"""How people get a length wrong when they read a tape or type a number."""

from __future__ import annotations

import math
from collections.abc import Iterator

#: How often which slip is made, and by how much, mm: a whole mark of the tape misread, either way;
#: a tape that sags, slips or starts elsewhere; any other number at all. Common practice, no source.
_MARKS = {10.0: 0.14, 20.0: 0.06, 50.0: 0.06, 100.0: 0.14, 200.0: 0.04, 500.0: 0.03, 1000.0: 0.05}
_OTHER_MARKS, _MARK, _MOST_MARKS = 0.08, 10.0, 9
_DIGITS = 0.08
_UNITS, _FACTORS = 0.07, (10.0, 0.1, 2.54, 1 / 2.54, 25.4, 1 / 25.4)
_LOOSE, _LOOSE_SPREAD = 0.15, 15.0
_ANY, _ANY_SHARE = 0.1, 0.3


def likelihood(typed: float, true: float, spread: float) -> float:
    """Logarithm of how likely one comes to write one length for another, for each millimetre.

    Args:
        typed: What was written, mm.
        true: What it should have been, mm.
        spread: Standard deviation of `true`, mm.
    """
    error = typed - true
    found = _LOOSE * _bell(error, math.hypot(_LOOSE_SPREAD, spread))
    found += _ANY * _bell(error, math.hypot(_ANY_SHARE * true, spread))
    found += sum(share * _bell(error - slip, spread) for slip, share in _slips(typed))
    return math.log(found) if found > 0 else -math.inf


def _slips(typed: float) -> Iterator[tuple[float, float]]:
    """What may have been added to the true length, and the share of such slips."""
    for mark, share in _MARKS.items():
        yield mark, share / 2
        yield -mark, share / 2
    for count in range(1, _MOST_MARKS + 1):
        yield count * _MARK, _OTHER_MARKS / 2 / _MOST_MARKS
        yield -count * _MARK, _OTHER_MARKS / 2 / _MOST_MARKS
    digits = str(round(typed))
    for place in range(len(digits) - 1):
        swapped = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
        yield typed - int(swapped), _DIGITS / (len(digits) - 1)
    for factor in _FACTORS:
        yield typed - typed / factor, _UNITS / len(_FACTORS)


def _bell(off: float, spread: float) -> float:
    return math.exp(-0.5 * (off / spread) ** 2) / (spread * math.sqrt(2 * math.pi))
