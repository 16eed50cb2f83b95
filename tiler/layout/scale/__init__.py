"""How true a printer prints: two bars, a rule, what follows from them, and what is to be done."""

from tiler.layout.scale.causes import Cause, Setting, causes_for
from tiler.layout.scale.judging import HIP, Effect, Judgement, Verdict, judge
from tiler.layout.scale.matching import Match
from tiler.layout.scale.printer import Printer
from tiler.layout.scale.reach import Reach, Span, reach_of
from tiler.layout.scale.reading import RULE_CLASSES, Axis, Reading, Rule
from tiler.layout.scale.remedies import REMEDIES, cause_in_words

__all__ = [
    "HIP",
    "REMEDIES",
    "RULE_CLASSES",
    "Axis",
    "Cause",
    "Effect",
    "Judgement",
    "Match",
    "Printer",
    "Reach",
    "Reading",
    "Rule",
    "Setting",
    "Span",
    "Verdict",
    "cause_in_words",
    "causes_for",
    "judge",
    "reach_of",
]
