"""From a bar and a rule to a scale, and how sure it is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.pattern.errors import MeasureError
from tiler.pattern.tolerance import RULE_CLASS_1, RULE_CLASS_2, RULE_CLASS_3, Tolerance
from tiler.pattern.units import format_mm

#: How sure an eye sets a mark of the rule against an end of the bar, as a standard deviation: a
#: little more than anywhere within half a division (which is 0.29), and no better than 0.1 mm
#: however fine the rule. Common practice, no source.
AIM_DIVISIONS = 0.3
LEAST_AIM = 0.1
#: Half-width of the 95 % interval in standard uncertainties (JCGM 100:2008, 6.3.3).
COVERAGE = 2.0
#: Finest and coarsest division that a rule may have, millimetres.
FINEST, COARSEST = 0.01, 10.0

#: Accuracy classes of rules and tapes, each with its largest own error on lengths up to 1 m.
RULE_CLASSES: dict[str, Tolerance] = {
    "1": RULE_CLASS_1,
    "2": RULE_CLASS_2,
    "3": RULE_CLASS_3,
}


@dataclass(frozen=True)
class Rule:
    """What a length is measured with.

    Args:
        division: The distance between its finest marks, millimetres.
        grade: Its accuracy class, a key of `RULE_CLASSES`; empty to leave its own error out. That
            is right when garments and paper are measured with this same rule: its error is then
            in both and cancels.

    Raises:
        MeasureError: A division or class that no rule has.
    """

    division: float
    grade: str = ""

    def __post_init__(self) -> None:
        if not (math.isfinite(self.division) and self.division > 0):
            raise MeasureError(
                f"a ruler cannot have divisions of {self.division:g} mm",
                remedy="Give the distance between its finest marks, such as 1 mm or 1/16 in.",
            )
        if not FINEST <= self.division <= COARSEST:
            raise MeasureError(
                f"{format_mm(self.division, 3)} is not the finest division of a ruler",
                remedy="Give the distance between two neighbouring marks, not the length of the "
                "ruler; most have 1 mm, 0.5 mm or 1/16 in.",
            )
        if self.grade and self.grade not in RULE_CLASSES:
            raise MeasureError(
                f"there is no accuracy class {self.grade!r}",
                remedy=f"Use one of {', '.join(RULE_CLASSES)}.",
            )

    @property
    def uncertainty(self) -> float:
        r"""Standard uncertainty of one length measured with it, millimetres.

        A length is the difference of two readings, one at each end of the bar, added in
        quadrature (JCGM 100:2008, "GUM", 5.1.2; clause numbers from memory):

        - each is taken to the nearest mark, so that it is off by up to half a division d either
          way, all values alike: rectangular, half-width a = d / 2, u = a / sqrt(3) (GUM 4.3.7);
        - the eye sets mark against line with a standard deviation of max(d / 4, 0.1 mm);
        - the rule's own error, when its class is given, is within +-a of that class for the whole
          length: rectangular once more, a / sqrt(3), and there once.

        Whoever lays an inner mark on one end reads only the other; the interval is then wider
        than need be. Two such readings make a triangular error, and with the aim added the
        interval of two standard uncertainties holds a little more than 95 %.
        """
        reading = self.division / 2 / math.sqrt(3)
        aim = max(AIM_DIVISIONS * self.division, LEAST_AIM)
        own = RULE_CLASSES[self.grade].limit / math.sqrt(3) if self.grade else 0.0
        return math.sqrt(2 * reading**2 + 2 * aim**2 + own**2)


@dataclass(frozen=True)
class Axis:
    """The print scale in one direction.

    Args:
        scale: Printed length over wanted length.
        u: Its standard uncertainty.
    """

    scale: float
    u: float

    @property
    def pm(self) -> float:
        """Half-width of the interval that holds the true scale with 95 %."""
        return COVERAGE * self.u

    @property
    def off(self) -> float:
        """How far it is from true size, as a share: -0.003 prints 0.3 % too small."""
        return self.scale - 1


@dataclass(frozen=True)
class Reading:
    """One bar as it was measured.

    Args:
        nominal: What the bar measures at true size, millimetres; exact, since it is written.
        measured: What the rule says, millimetres.
        rule: What it was measured with.

    Raises:
        MeasureError: A length that is not above nothing.
    """

    nominal: float
    measured: float
    rule: Rule

    def __post_init__(self) -> None:
        for length in (self.nominal, self.measured):
            if not (math.isfinite(length) and length > 0):
                raise MeasureError(
                    f"a bar cannot measure {length:g} mm",
                    remedy="Lay the ruler along the bar and read it once more.",
                )

    @property
    def axis(self) -> Axis:
        """Scale s = measured / nominal; since nominal is exact, u(s) = u(measured) / nominal.

        The law of propagation of uncertainty with one input (JCGM 100:2008, 5.1.2).
        """
        return Axis(self.measured / self.nominal, self.rule.uncertainty / self.nominal)
