"""What a measured print scale means: whether it is in order, and what it does to a garment."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tiler.layout.papers import Paper
from tiler.layout.scale.matching import Match, alike, matching, together
from tiler.layout.scale.plausible import refuse_implausible
from tiler.layout.scale.reach import Reach, Span
from tiler.layout.scale.reading import Axis, Reading
from tiler.pattern.tolerance import (
    GIRTH,
    LENGTH,
    PRINT_ASK,
    PRINT_COMPENSABLE,
    PRINT_KNOWN,
    PRINT_TRUE,
    SEAM_WALK,
    Tolerance,
)

#: Said when there is no pattern to carry the error over.
HIP = Reach(Span("a hip", 1000.0), Span("a length", 1000.0), None)


class Verdict(StrEnum):
    """What is to be done about a print scale.

    TRUE: nothing. PRINTER_ERROR: small, sure and no setting: it can be made up for. ASK: it may be
    the printer's or not, and its owner says which. WRONG_SETTING: a setting to put right, never
    made up for. TOO_FAR: no printer in order does this, and no setting that is known.
    TOO_COARSE: the ruler cannot tell.
    """

    TRUE = "true"
    PRINTER_ERROR = "printer error"
    ASK = "ask"
    WRONG_SETTING = "wrong setting"
    TOO_FAR = "too far"
    TOO_COARSE = "too coarse"

    @property
    def may_be_kept(self) -> bool:
        """Whether such a scale is ever that of a printer."""
        return self in (Verdict.TRUE, Verdict.PRINTER_ERROR, Verdict.ASK)


@dataclass(frozen=True)
class Effect:
    """What becomes of a length, millimetres; negative comes out small.

    Args:
        span: The length.
        least: What it is off by at the least, whichever way the piece lies on the paper.
        most: At the most; the same as `least` when both directions are alike.
        pm: Half-width of the 95 % interval of either.
        limit: How far off it may be.
    """

    span: Span
    least: float
    most: float
    pm: float
    limit: Tolerance

    @property
    def worst(self) -> float:
        """The larger of both, with its sign."""
        return max(self.least, self.most, key=abs)

    @property
    def in_tolerance(self) -> bool:
        """Whether it comes out as near as it should."""
        return abs(self.worst) <= self.limit.limit

    @property
    def surely(self) -> bool:
        """Whether `in_tolerance` would stand wherever in its interval the true value lies."""
        if self.in_tolerance:
            return abs(self.worst) + self.pm <= self.limit.limit
        return abs(self.worst) - self.pm > self.limit.limit


@dataclass(frozen=True)
class Judgement:
    """All that follows from two bars.

    Args:
        verdict: What is to be done.
        across: The scale along the paper's short side.
        up: The scale along its long side.
        matches: Wrong settings that fit, the likeliest first.
        effects: What becomes of girth, length and, when the directions differ, of the longest seam.
    """

    verdict: Verdict
    across: Axis
    up: Axis
    matches: tuple[Match, ...]
    effects: tuple[Effect, ...]

    @property
    def in_tolerance(self) -> bool:
        """Whether all effects are."""
        return all(effect.in_tolerance for effect in self.effects)

    @property
    def surely(self) -> bool:
        """Whether `in_tolerance` does not hang on the uncertainty of the measurement."""
        if self.in_tolerance:
            return all(effect.surely for effect in self.effects)
        return any(effect.surely for effect in self.effects if not effect.in_tolerance)

    @property
    def hidden(self) -> bool:
        """Whether a part of what is off is no more than the measurement leaves open."""
        return any(
            abs(axis.off) > PRINT_TRUE.share and abs(axis.off) <= axis.pm
            for axis in (self.across, self.up)
        )

    @property
    def one_way(self) -> str:
        """The only direction that is off, ``across`` or ``up``; empty when it is both or none."""
        off = {
            name: abs(axis.off) > max(axis.pm, PRINT_TRUE.share)
            for name, axis in (("across", self.across), ("up", self.up))
        }
        if alike(self.across, self.up) or off["across"] == off["up"]:
            return ""
        return "across" if off["across"] else "up"


def judge(across: Reading, up: Reading, paper: Paper, reach: Reach = HIP) -> Judgement:
    """Judge a printed page by its two bars.

    Args:
        across: The bar along the paper's short side.
        up: The bar along its long side.
        paper: What the page was made for.
        reach: What the error is carried over.

    Raises:
        MeasureError: The readings cannot be those of the two bars.
    """
    refuse_implausible(across, up)
    matches = matching(across.axis, up.axis, paper)
    verdict = decide(across.axis, up.axis, matches)
    if verdict is Verdict.TRUE:
        matches = ()
    return Judgement(verdict, across.axis, up.axis, matches, effects(across.axis, up.axis, reach))


def decide(across: Axis, up: Axis, matches: tuple[Match, ...]) -> Verdict:
    """What is to be done about a scale, by the limits of `tiler.pattern.tolerance`."""
    axes = across, up
    worst = max(abs(axis.off) for axis in axes)
    coarse = max(axis.pm for axis in axes) > PRINT_KNOWN.share
    if worst > PRINT_COMPENSABLE.share:
        if matches:
            return Verdict.WRONG_SETTING
        sure = any(abs(axis.off) - axis.pm > PRINT_COMPENSABLE.share for axis in axes)
        return Verdict.TOO_COARSE if coarse and not sure else Verdict.TOO_FAR
    if coarse:
        return Verdict.TOO_COARSE
    if worst <= PRINT_TRUE.share:
        return Verdict.TRUE
    # An error that the measurement does not tell from none is not sure to be the printer's.
    hidden = any(PRINT_TRUE.share < abs(axis.off) <= axis.pm for axis in axes)
    # A rare setting (two programs at odds) is only mentioned.
    suspected = any(not match.rare for match in matches)
    if worst > PRINT_ASK.share or suspected or hidden:
        return Verdict.ASK
    return Verdict.PRINTER_ERROR


def effects(across: Axis, up: Axis, reach: Reach) -> tuple[Effect, ...]:
    """What becomes of the lengths of a garment.

    A length L at an angle t to the paper's short side is printed as L sqrt(sx^2 cos^2 t +
    sy^2 sin^2 t), so it is off by something between L (sx - 1) and L (sy - 1). Where the two do not
    differ by more than the measurement leaves open, their weighted mean is taken.

    Two edges of one seam, each of length L, may lie on the paper at right angles to each other: one
    is printed L sx long and the other L sy, so they mismatch by L |sx - sy| at the most; by half of
    that, when one of them lies at 45 degrees.
    """
    same = alike(across, up)
    axes = (together(across, up),) if same else (across, up)
    found = []
    for span, limit in ((reach.girth, GIRTH), (reach.length, LENGTH)):
        offs = [axis.off * span.length for axis in axes]
        pm = max(axis.pm for axis in axes) * span.length
        found.append(Effect(span, min(offs), max(offs), pm, limit))
    if not same and reach.seam:
        mismatch = abs(across.scale - up.scale) * reach.seam.length
        pm = (across.pm**2 + up.pm**2) ** 0.5 * reach.seam.length
        found.append(Effect(reach.seam, mismatch, mismatch, pm, SEAM_WALK))
    return tuple(found)
