"""What the bench check says, sorted for the piece that is looked at."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.pattern.model import Severity, styles_in

if TYPE_CHECKING:
    from tiler.drafting.checks import Fault, Inspection
    from tiler.drafting.walking.measured import SeamWalk
    from tiler.pattern.model import Pattern, Piece, Seam


@dataclass(frozen=True)
class Found:
    """One fault as the page lists it.

    Args:
        number: Its place in the check's own list, from 1.
        fault: What was found.
        here: Whether a place of it is on the piece that is looked at.
        elsewhere: The other pieces on which it has places.
    """

    number: int
    fault: Fault
    here: bool
    elsewhere: tuple[str, ...]


@dataclass(frozen=True)
class WalkedSeam:
    """A declared seam, with what came of walking it; None where it could not be walked.

    Args:
        seam: As declared.
        walk: Of one style.
        styles: All styles in which it comes out like that.
        found: Number of the first thing, graver than a note, that was found on it; 0 for none.
    """

    seam: Seam
    walk: SeamWalk | None
    styles: tuple[str, ...] = ()
    found: int = 0


def checked(pattern: Pattern, piece: Piece, inspection: Inspection) -> dict[str, object]:
    """What the template needs.

    Args:
        pattern: Drafted.
        piece: The one that is looked at.
        inspection: The bench check of the pattern.
    """
    from tiler.output.svg import screen_svg
    from tiler.sheets.benchpiecespots import draw_spots

    found = [_found(n, fault, piece) for n, fault in enumerate(inspection.faults, start=1)]
    spots = [(each.number, spot) for each in found for spot in each.fault.spots]
    errors = [each for each in found if each.fault.severity is Severity.ERROR]
    on_piece = Counter(
        name
        for each in found
        if each.fault.severity is not Severity.NOTE
        for name in {spot.piece for spot in each.fault.spots}
    )
    return {
        "here": [each for each in found if each.here],
        "elsewhere": [each for each in found if not each.here],
        "error": min(errors, key=lambda each: not each.here, default=None),
        "rings": screen_svg(draw_spots(piece, spots), "spots"),
        "seams": _seams(pattern, inspection),
        "on_piece": on_piece,
    }


def _found(number: int, fault: Fault, piece: Piece) -> Found:
    names = dict.fromkeys(spot.piece for spot in fault.spots)
    here = piece.name in names or (not names and fault.subject == piece.name)
    return Found(number, fault, here, tuple(name for name in names if name != piece.name))


def _seams(pattern: Pattern, inspection: Inspection) -> list[WalkedSeam]:
    grave = [
        (number, fault)
        for number, fault in enumerate(inspection.faults, start=1)
        if fault.severity is not Severity.NOTE and fault.walk is not None
    ]
    rows: list[WalkedSeam] = []
    for seam in pattern.seams:
        walks = [walk for walk in inspection.walks if walk.seam == seam]
        alike: dict[tuple[float, float, int], list[SeamWalk]] = {}
        for walk in walks:
            found = next((number for number, fault in grave if _about(fault, walk)), 0)
            first, second = (round(total, 1) for total in walk.totals)
            alike.setdefault((first, second, found), []).append(walk)
        for (_, _, found), group in alike.items():
            styles = tuple(walk.style for walk in group if walk.style)
            rows.append(WalkedSeam(seam, group[0], styles, found))
        if not walks:
            rows.append(WalkedSeam(seam, None))
    return rows


def _about(fault: Fault, walk: SeamWalk) -> bool:
    if fault.walk is None or fault.walk.seam != walk.seam:
        return False
    return not walk.style or not fault.style or walk.style in styles_in(fault.style)
