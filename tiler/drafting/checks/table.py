"""The table of checks: a check is added here and in one module."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from tiler.drafting.checks.allowances import (
    drawn_stitch_lines,
    missing_allowances,
    seam_allowances,
    short_edges,
)
from tiler.drafting.checks.bench import Bench, bench_of
from tiler.drafting.checks.crossings import running_lines
from tiler.drafting.checks.cutting import cloths, hands, twins
from tiler.drafting.checks.dartcheck import darts
from tiler.drafting.checks.dartcross import crossing_darts
from tiler.drafting.checks.declared import edges_twice, edges_unsewn, seams_twice
from tiler.drafting.checks.fault import Fault
from tiler.drafting.checks.foldcuts import fold_cuts
from tiler.drafting.checks.folds import fold_corners, joined_folds, sewn_folds
from tiler.drafting.checks.grains import fold_grains, like_grains, short_grains
from tiler.drafting.checks.hemmeets import meeting_hems
from tiler.drafting.checks.hems import flat_hems, hem_sides, narrow_hems
from tiler.drafting.checks.lengths import seam_lengths
from tiler.drafting.checks.necks import neck_points
from tiler.drafting.checks.notchdepth import deep_notches
from tiler.drafting.checks.notches import (
    lone_notches,
    meeting_notches,
    turnable_notches,
)
from tiler.drafting.checks.stretch import stretches
from tiler.drafting.walking.measured import SeamWalk
from tiler.intake.recall import Recall, afresh
from tiler.pattern.model import AND, Pattern, Severity, styles_in

#: What is checked, in the order in which a drafter goes through it.
CHECKS: dict[str, Callable[[Bench], Iterator[Fault]]] = {
    "cloth that stretches": stretches,
    "seam lengths": seam_lengths,
    "notches that meet": meeting_notches,
    "notches without partners": lone_notches,
    "notches that fit both ways round": turnable_notches,
    "depth of notches": deep_notches,
    "lines across seams": running_lines,
    "allowances of a seam": seam_allowances,
    "missing allowances": missing_allowances,
    "short edges": short_edges,
    "drawn stitch lines": drawn_stitch_lines,
    "corners at the fold": fold_corners,
    "folds left alone": sewn_folds,
    "cuts on the fold": fold_cuts,
    "folds of joined pieces": joined_folds,
    "darts": darts,
    "darts that overlap": crossing_darts,
    "back neck above front neck": neck_points,
    "grain and fold": fold_grains,
    "length of grainlines": short_grains,
    "grain of joined pieces": like_grains,
    "hems on a curve": flat_hems,
    "hems that meet": meeting_hems,
    "narrow hems": narrow_hems,
    "ends of hems": hem_sides,
    "pairs and sides": hands,
    "pieces there twice": twins,
    "cloths": cloths,
    "seams declared twice": seams_twice,
    "edges in several seams": edges_twice,
    "edges in no seam": edges_unsewn,
}

_WORST_FIRST = (Severity.ERROR, Severity.WARNING, Severity.NOTE)


@dataclass(frozen=True, slots=True)
class Inspection:
    """What came of the bench check.

    Args:
        faults: The worst first.
        walks: Every seam that could be walked, whether anything was found or not.
    """

    faults: tuple[Fault, ...]
    walks: tuple[SeamWalk, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing spoils the garment."""
        return all(fault.severity is not Severity.ERROR for fault in self.faults)


def inspect(pattern: Pattern, recall: Recall = afresh) -> Inspection:
    """The bench check of a whole pattern, with the seams as they were walked.

    What reading and drafting have noticed is in `Pattern.findings` and is not repeated.

    Args:
        pattern: Drafted (`tiler.drafting.draft.drafted`): half pieces with their stitch rings.
        recall: How each piece and each seam is looked at.

    Returns:
        Faults by severity, in the order of the table within one.

    Raises:
        PatternError: A coordinate is not a number.
    """
    bench = bench_of(pattern, recall)
    found = _merged(fault for each in CHECKS.values() for fault in each(bench))
    every = {name for name, _ in pattern.styles}
    found = [
        replace(fault, style="") if every and every == set(styles_in(fault.style)) else fault
        for fault in found
    ]
    faults = sorted(found, key=lambda fault: _WORST_FIRST.index(fault.severity))
    return Inspection(tuple(faults), bench.walks)


def check(pattern: Pattern) -> tuple[Fault, ...]:
    """The faults that `inspect` finds, the worst first.

    Args:
        pattern: Drafted.

    Raises:
        PatternError: A coordinate is not a number.
    """
    return inspect(pattern).faults


def _merged(faults: Iterable[Fault]) -> list[Fault]:
    """What is the same in several styles is told once."""
    told: dict[tuple[str, ...], Fault] = {}
    for fault in faults:
        key = fault.code, fault.subject, fault.detail, fault.remedy
        earlier = told.get(key)
        if earlier is None:
            told[key] = fault
        elif fault.style and fault.style not in styles_in(earlier.style):
            told[key] = replace(earlier, style=AND.join((earlier.style, fault.style)))
    return list(told.values())
