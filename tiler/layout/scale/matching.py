"""Which wrong settings a measured scale fits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.layout.papers import Paper
from tiler.layout.scale.causes import Cause, Setting, causes_for, typed
from tiler.layout.scale.reading import Axis
from tiler.pattern.tolerance import PRINT_COMPENSABLE

#: 99 % points of the chi-square distribution with two and with one degree of freedom, and its 95 %
#: point with one (any table; the first is -2 ln 0.01).
BOTH_AXES = 9.210
UNIFORM = 6.635
DIFFERENCE = 3.841
#: A printer has an error of its own beside the wrong setting, as a standard deviation: common
#: practice, no source.
OWN = 0.001
#: From this `seldom` on a setting is rarer than a printer with an error of its own.
RARE = 3
#: Percentages that anybody would type.
_PERCENT = (25, 400)


@dataclass(frozen=True)
class Match:
    """Wrong settings of one kind that fit, the best first.

    Args:
        setting: The kind.
        causes: Those of its kind.
        misfit: Squared distance of the best, in standard uncertainties: 0 fits to the dot.
        seldom: As in `Cause`.
    """

    setting: Setting
    causes: tuple[Cause, ...]
    misfit: float
    seldom: int

    @property
    def rare(self) -> bool:
        """Whether it is rarer than a printer with an error of its own."""
        return self.seldom >= RARE


def matching(across: Axis, up: Axis, paper: Paper) -> tuple[Match, ...]:
    """The wrong settings that a measurement does not rule out, the likeliest kind first.

    A setting fits when both directions together agree with it (chi-square, 99 %), and when it fits
    better than no wrong setting at all. One that changes both directions alike must also not be
    ruled out by their difference: at 95 %, since a printer's rollers may have made it; at 99 %
    where both directions are further off than any printer in order is.

    Args:
        across: The scale measured along the paper's short side.
        up: The scale measured along its long side.
        paper: What the page was made for.
    """
    nothing = _misfit((1.0, 1.0), (1.0, 1.0), across, up)
    alike = _alike(across, up)
    causes = [*causes_for(paper), *_percentage(across, up)]
    kinds: dict[Setting, list[tuple[float, Cause]]] = {}
    for cause in dict.fromkeys(causes):
        misfit = _misfit(cause.across, cause.up, across, up)
        if misfit <= BOTH_AXES and misfit < nothing and (alike or not cause.uniform):
            kinds.setdefault(cause.setting, []).append((misfit, cause))
    matches = []
    for setting, found in kinds.items():
        found.sort(key=lambda pair: pair[0] + 2 * pair[1].seldom)
        misfit, best = found[0]
        matches.append(Match(setting, tuple(cause for _, cause in found), misfit, best.seldom))
    return tuple(sorted(matches, key=lambda match: match.misfit + 2 * match.seldom))


def together(across: Axis, up: Axis) -> Axis:
    """Both directions as one, each weighted by how sure it is (inverse variances)."""
    weights = 1 / across.u**2, 1 / up.u**2
    total = sum(weights)
    scale = (across.scale * weights[0] + up.scale * weights[1]) / total
    return Axis(scale, math.sqrt(1 / total))


def alike(across: Axis, up: Axis) -> bool:
    """Whether the two directions differ by no more than the measurement leaves open (95 %)."""
    return (across.scale - up.scale) ** 2 <= DIFFERENCE * (across.u**2 + up.u**2)


def _alike(across: Axis, up: Axis) -> bool:
    far = min(abs(across.off), abs(up.off)) > PRINT_COMPENSABLE.share
    variance = across.u**2 + up.u**2 + 2 * OWN**2
    return (across.scale - up.scale) ** 2 <= (UNIFORM if far else DIFFERENCE) * variance


def _misfit(wide: tuple[float, float], high: tuple[float, float], across: Axis, up: Axis) -> float:
    total = 0.0
    for (least, most), axis in ((wide, across), (high, up)):
        nearest = min(max(axis.scale, least), most)
        total += (axis.scale - nearest) ** 2 / (axis.u**2 + OWN**2)
    return total


def _percentage(across: Axis, up: Axis) -> list[Cause]:
    """The whole percentage nearest to the scale: any can be typed."""
    percent = round(100 * together(across, up).scale)
    least, most = _PERCENT
    return [typed(percent)] if least <= percent <= most and percent != 100 else []
