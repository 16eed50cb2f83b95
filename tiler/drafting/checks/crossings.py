"""Do neck, armhole, waist and hem run on smoothly across the seams?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.unfold.meetings import HALF_CHORD
from tiler.drafting.walking.measured import SeamWalk
from tiler.drafting.walking.run_on import RunOn, run_on
from tiler.drafting.walking.sense import End
from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Part, Severity
from tiler.pattern.path import Path

#: A line that breaks by more (degrees) shows: 0.35 mm over 20 mm; from the second number on it has
#: a corner that no pressing takes out: 0.9 mm. Our choice.
SHOWS, SPOILT = 4.0, 10.0


def running_lines(bench: Bench) -> Iterator[Fault]:
    """The two angles of a line with a seam that it crosses add up to 180 degrees."""
    seen: set[tuple[object, ...]] = set()
    for walk in bench.walks:
        for at_end in (False, True):
            one, other = (side.edges[-1 if at_end else 0] for side in walk.sides)
            first, second = one.neighbour(at_end=at_end), other.neighbour(at_end=at_end)
            ends = (one.piece.name, first), (other.piece.name, second)
            parts = {one.piece.part, other.piece.part}
            if not _runs_on(bench, *ends, across=parts == {Part.FRONT, Part.BACK}):
                continue
            key = str(one), str(other), first.letter, second.letter, first.path, second.path
            if key in seen:
                continue
            seen.add(key)
            before, seam = _tips(one, first, at_end)
            after, other_seam = _tips(other, second, at_end)
            found = run_on(before, seam, other_seam, after)
            if not found.smooth:
                yield _break(walk, at_end, (one, other), (first, second), found)


def _runs_on(bench: Bench, one: End, other: End, *, across: bool) -> bool:
    """Whether two lines are meant to be one line once the seam between them is sewn.

    Like names tell it only between front and back: a facing has the names of what it faces.
    """
    (piece, first), (other_piece, second) = one, other
    if Lies.FOLD in (first.lies, second.lies):
        return False
    if piece == other_piece and first.letter == second.letter:
        return True
    if bench.ties.sewn(one, other):
        return False
    if first.lies is Lies.HEM and second.lies is Lies.HEM:
        return True
    named = across and bool(first.name) and first.name.casefold() == second.name.casefold()
    return bench.ties.follows(one, other) or (named and first.lies is second.lies)


def _tip(path: Path, *, at_end: bool) -> Path:
    """The last half segment at one end, so that it meets its neighbour at one place only."""
    segment = path.segments[-1 if at_end else 0]
    return Path((segment.split(0.5)[1 if at_end else 0],))


def _tips(seam: SewnEdge, line: Edge, at_end: bool) -> tuple[Path, Path]:
    """The line and the seam where they meet, at one end of the seam."""
    clockwise_end = at_end != seam.backwards
    return _tip(line.path, at_end=not clockwise_end), _tip(seam.edge.path, at_end=clockwise_end)


def _break(
    walk: SeamWalk,
    at_end: bool,
    edges: tuple[SewnEdge, SewnEdge],
    lines: tuple[Edge, Edge],
    found: RunOn,
) -> Fault:
    rise = HALF_CHORD * math.sin(math.radians(abs(found.off)) / 2)
    what = "a hollow" if found.off > 0 else "a point"
    names = [
        f"{edge.piece.name}.{line.letter}" + (f" ({line.name})" if line.name else "")
        for edge, line in zip(edges, lines, strict=True)
    ]
    half = (found.first - found.second) / 2
    corners: list[Point] = [edge.corner(at_end=at_end) for edge in edges]
    return Fault(
        "line-breaks",
        _severity(abs(found.off)),
        walk.name,
        f"{names[0]} and {names[1]} make {what} where the seam crosses: {found.first:.1f} and "
        f"{found.second:.1f} degrees, together {found.first + found.second:.1f} instead of 180, "
        f"{both(rise)} over 20 mm.",
        f"Lay the pieces together along the seam and redraw the line through: "
        f"{90 + half:.1f} degrees on {edges[0].piece.name} and {90 - half:.1f} on "
        f"{edges[1].piece.name}.",
        detail=" with ".join(
            f"{edge.piece.name}.{line.letter}" for edge, line in zip(edges, lines, strict=True)
        ),
        style=walk.style,
        numbers={
            "first_degrees": found.first,
            "second_degrees": found.second,
            "break_degrees": found.off,
            "rise_mm": rise,
        },
        spots=tuple(
            Spot(edge.piece.name, (corner,), (line.path,), edge.ring.style, (edge.edge.path,))
            for edge, corner, line in zip(edges, corners, lines, strict=True)
        ),
    )


def _severity(off: float) -> Severity:
    if off <= SHOWS:
        return Severity.NOTE
    return Severity.ERROR if off > SPOILT else Severity.WARNING
