"""Every tolerance in one place: how far off is still in order, for which use, and who says so.

Limits in millimetres are lengths, limits in percent are shares of a length. A limit without a
source is what careful makers are used to; it is called "common practice, no source".
"""

from __future__ import annotations

from dataclasses import dataclass

_PRACTICE = "common practice, no source"
_RULES = (
    "UK SI 2016/1153, schedule 1I, material measures of length (as Directive 2014/32/EU, MI-008): "
    "a + b L, L in whole metres, rounded up"
)


@dataclass(frozen=True, slots=True)
class Tolerance:
    """How far off something may be.

    Args:
        what: What is measured.
        limit: The largest deviation, to either side, in `unit`.
        unit: ``mm``, ``%``, ``times``, ``px`` or ``deg``.
        use: What it is good for, or what happens beyond it.
        source: A citation, or "common practice, no source".
    """

    what: str
    limit: float
    unit: str
    use: str
    source: str

    @property
    def share(self) -> float:
        """A limit in percent as a share: 0.005 for 0.5 %.

        Raises:
            ValueError: The limit is not in percent.
        """
        if self.unit != "%":
            raise ValueError(f"{self.what}: {self.unit} is not a share")
        return self.limit / 100


#: 0.25 % is 0.5 mm, one division of a good rule, on a bar of 200 mm, and 2.5 mm on a hip of 1 m.
PRINT_TRUE = Tolerance(
    "print scale, each direction",
    0.25,
    "%",
    "up to here a page counts as printed at true size",
    _PRACTICE,
)
PRINT_ASK = Tolerance(
    "print scale, each direction",
    0.5,
    "%",
    "above, the user is asked before the printer's error is kept and made up for",
    _PRACTICE,
)
PRINT_COMPENSABLE = Tolerance(
    "print scale, each direction",
    1.5,
    "%",
    "above, it is no error of a printer in order, and is never made up for",
    _PRACTICE,
)
PRINT_KNOWN = Tolerance(
    "uncertainty of a measured print scale, 95 %",
    1.0,
    "%",
    "above, the measurement is too coarse to be kept",
    _PRACTICE,
)
GIRTH = Tolerance(
    "round the body, whole garment",
    5.0,
    "mm",
    "a garment of woven cloth comes out as it was meant to",
    _PRACTICE,
)
LENGTH = Tolerance(
    "length of the longest piece",
    5.0,
    "mm",
    "a garment comes out as long as it was meant to",
    _PRACTICE,
)
#: 1.6 mm (1/16 in) is kept by some teachers and 3.2 mm (1/8 in) by others.
SEAM_WALK = Tolerance(
    "two edges that are sewn together, stitch lines walked",
    1.0,
    "mm",
    "up to here they agree; above, it is worth a note",
    _PRACTICE,
)
SEAM_SPOILT = Tolerance(
    "two edges that are sewn together, stitch lines walked",
    3.0,
    "mm",
    "above, it is asked whether ease or a mistake is meant",
    _PRACTICE,
)
JOINT = Tolerance(
    "a taped joint of two pages",
    0.5,
    "mm",
    "up to here a joint counts as closed right",
    _PRACTICE,
)
DIAGONALS = Tolerance(
    "the two diagonals of a printed rectangle, difference",
    1.0,
    "mm",
    "above, the printer skews the page",
    _PRACTICE,
)
PAPER_CUT = Tolerance(
    "trimmed paper, sides over 150 mm and up to 600 mm",
    2.0,
    "mm",
    "why pages are joined on printed marks and never on the edge of the paper",
    "ISO 216 (from memory)",
)
PROOF = Tolerance(
    "a line of a written file against the pattern",
    0.01,
    "mm",
    "a file that is further off is not handed over",
    "a tenth of the finest tick that the eye reads on a joint (0.1 mm)",
)
RULE_CLASS_1 = Tolerance(
    "rule of accuracy class I, up to 1 m", 0.2, "mm", "the rule's own error", _RULES
)
RULE_CLASS_2 = Tolerance(
    "rule of accuracy class II, up to 1 m", 0.5, "mm", "the rule's own error", _RULES
)
RULE_CLASS_3 = Tolerance(
    "rule of accuracy class III, up to 1 m", 1.0, "mm", "the rule's own error", _RULES
)
MAT_SIDE = Tolerance(
    "sides and diagonals of a projected rectangle, measured anew",
    1.0,
    "mm",
    "a projector is in order, when it also keeps the share below",
    _PRACTICE,
)
MAT_SHARE = Tolerance(
    "sides and diagonals of a projected rectangle, measured anew",
    0.2,
    "%",
    "a projector is in order, when it also keeps the millimetres above",
    _PRACTICE,
)
PROJECTED_MEDIAN = Tolerance(
    "lines of a projected piece, half of them",
    1.0,
    "mm",
    "cutting by projector",
    _PRACTICE,
)
PROJECTED_WORST = Tolerance(
    "lines of a projected piece, the worst place",
    3.0,
    "mm",
    "cutting by projector; one seam allowance takes it up",
    _PRACTICE,
)
PICTURE_SMALLEST = Tolerance(
    "sides and diagonals of a projected grid, the middle one, at least",
    200.0,
    "mm",
    "below, no piece of a garment could be shown; most likely the unit is wrong",
    _PRACTICE,
)
PICTURE_LARGEST = Tolerance(
    "sides and diagonals of a projected grid, the middle one, at most",
    6000.0,
    "mm",
    "above, no room at home holds the picture; most likely the unit is wrong",
    _PRACTICE,
)
PIXELS_UNLIKE = Tolerance(
    "pixels at the corners of a projected grid, the longest over the shortest",
    3.0,
    "times",
    "above, lines are too coarse at one end, and small slips of measuring grow too large",
    _PRACTICE,
)

TOLERANCES: tuple[Tolerance, ...] = (
    PRINT_TRUE,
    PRINT_ASK,
    PRINT_COMPENSABLE,
    PRINT_KNOWN,
    GIRTH,
    LENGTH,
    SEAM_WALK,
    SEAM_SPOILT,
    JOINT,
    DIAGONALS,
    PAPER_CUT,
    PROOF,
    RULE_CLASS_1,
    RULE_CLASS_2,
    RULE_CLASS_3,
    MAT_SIDE,
    MAT_SHARE,
    PROJECTED_MEDIAN,
    PROJECTED_WORST,
    PICTURE_SMALLEST,
    PICTURE_LARGEST,
    PIXELS_UNLIKE,
)
