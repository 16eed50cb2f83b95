"""Does the back neck lie higher than the front neck?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from tiler.drafting.checks.bench import Bench, edge_words
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Part, Severity

#: What the maker's word for a line tells; without one, the seam beside it does.
_NECK, _WAIST = "neck", "waist"
#: Degrees from the fold from which on a seam runs across it. Our choice.
_ACROSS = 45.0
#: A back neck that is deeper than the front's by more (millimetres) pulls the garment off the
#: shoulders. Our choice.
SPOILT = 5.0


@dataclass(frozen=True)
class _Neck:
    piece: str
    edge: Edge
    centre: Point
    depth: float


def neck_points(bench: Bench) -> Iterator[Fault]:
    """The centre back neck lies nearer to the shoulder's neck point than the centre front."""
    told: set[tuple[str, str]] = set()
    for walk in bench.walks:
        one, other = walk.sides
        if len(one.edges) > 1 or len(other.edges) > 1:
            continue
        parts = {side.edges[0].piece.part: side.edges[0] for side in walk.sides}
        if set(parts) != {Part.FRONT, Part.BACK}:
            continue
        front, back = _neck(parts[Part.FRONT]), _neck(parts[Part.BACK])
        if front is None or back is None or (front.piece, back.piece) in told:
            continue
        if max(front.depth, back.depth) <= 0:
            # A waist that dips towards the centre, beside a side seam that spreads.
            continue
        told.add((front.piece, back.piece))
        lower = back.depth - front.depth
        if lower < 0:
            continue
        yield Fault(
            "neck-depth",
            Severity.ERROR if lower > SPOILT else Severity.WARNING,
            f"{front.piece} and {back.piece}",
            f"The centre back neck lies {both(back.depth)} below the shoulder's neck point and "
            f"the centre front {both(front.depth)}: the back neck is "
            + (f"{both(lower)} deeper." if lower > 0 else "as deep.")
            + " The garment will slide back.",
            f"Raise the back neck by more than {both(lower)}, or lower the front; check that "
            "front and back are not mixed up.",
            detail=edge_words(back.edge),
            numbers={"front_mm": front.depth, "back_mm": back.depth, "lower_mm": lower},
            spots=(
                Spot(front.piece, (front.centre,), (front.edge.path,)),
                Spot(back.piece, (back.centre,), (back.edge.path,)),
            ),
        )


def _is_shoulder(seam: SewnEdge, fold: Edge, at_end: bool) -> bool:
    """Whether a seam beside the line from the fold lies like a shoulder, and not like a side.

    A shoulder runs more across the fold than along it, and what follows at its other end (an
    armhole, a sleeve's end) does not come back to the fold, as the hem below a side seam does.
    """
    start, end = seam.edge.path.start, seam.edge.path.end
    low, high = fold.path.start, fold.path.end
    along = abs((end.x - start.x) * (high.x - low.x) + (end.y - start.y) * (high.y - low.y))
    if along > start.to(end) * low.to(high) * math.cos(math.radians(_ACROSS)):
        return False
    far = seam.neighbour(at_end=not at_end)
    edges = seam.ring.edges
    here = next(i for i, edge in enumerate(edges) if edge.letter == far.letter)
    return all(edges[(here + step) % len(edges)].lies is not Lies.FOLD for step in (-1, 0, 1))


def _neck(shoulder: SewnEdge) -> _Neck | None:
    """The neck between a shoulder and the fold, when there is one beside it."""
    for at_end in (False, True):
        neck = shoulder.neighbour(at_end=at_end)
        edges = shoulder.ring.edges
        here = next(i for i, edge in enumerate(edges) if edge.letter == neck.letter)
        # On along the ring, away from the shoulder.
        ahead = at_end != shoulder.backwards
        fold = edges[(here + (1 if ahead else -1)) % len(edges)]
        if fold.lies is not Lies.FOLD or neck.lies in (Lies.FOLD, Lies.HEM):
            continue
        if _WAIST in neck.name.casefold() or not (
            _NECK in neck.name.casefold() or _is_shoulder(shoulder, fold, at_end)
        ):
            continue
        point = neck.path.start if ahead else neck.path.end
        centre = neck.path.end if ahead else neck.path.start
        far = fold.path.end if centre.to(fold.path.start) < centre.to(fold.path.end) else None
        far = far or fold.path.start
        length = centre.to(far)
        if length == 0:
            continue
        x, y = (far.x - centre.x) / length, (far.y - centre.y) / length
        depth = (centre.x - point.x) * x + (centre.y - point.y) * y
        return _Neck(shoulder.piece.name, neck, centre, depth)
    return None
