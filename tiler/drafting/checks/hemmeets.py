"""Do the hems of two pieces turn up alike where a seam joins them?"""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.allowances import ALIKE
from tiler.drafting.checks.bench import Bench, edge_words, width_of
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.pattern.model import Lies, Severity
from tiler.pattern.units import format_mm


def meeting_hems(bench: Bench) -> Iterator[Fault]:
    """Two hems that meet at the end of a seam have one allowance, or the turned edge steps."""
    told: set[tuple[str, ...]] = set()
    for walk in bench.walks:
        for at_end in (False, True):
            ends = [side.edges[-1 if at_end else 0] for side in walk.sides]
            hems = [edge.neighbour(at_end=at_end) for edge in ends]
            if any(hem.lies is not Lies.HEM for hem in hems):
                continue
            first, second = (width_of(end.piece, hem) for end, hem in zip(ends, hems, strict=True))
            if first is None or second is None or abs(first - second) < ALIKE:
                continue
            names = [f"{end.piece.name}.{hem.letter}" for end, hem in zip(ends, hems, strict=True)]
            if tuple(names) in told:
                continue
            told.add(tuple(names))
            yield Fault(
                "hem-differs",
                Severity.WARNING,
                walk.name,
                f"At one end of the seam the hem {names[0]} has {both(first)} to turn up and "
                f"{names[1]} {both(second)}: the turned edge steps by {both(abs(first - second))}.",
                f'Give both the same, such as hem = {{ edge = "{hems[1].letter}", allowance = '
                f'"{format_mm(first)}" }} in {ends[1].piece.name}.',
                detail=edge_words(hems[0]),
                style=walk.style,
                numbers={"first_mm": first, "second_mm": second},
                spots=tuple(
                    Spot(end.piece.name, (end.corner(at_end=at_end),), (hem.path,), end.ring.style)
                    for end, hem in zip(ends, hems, strict=True)
                ),
            )
