"""Grainlines: parallel to the fold, long enough, and alike where pieces are joined."""

from __future__ import annotations

import math
from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.unfold.mirror import angle_between
from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Piece, Severity
from tiler.pattern.path import Path

#: Degrees by which a grainline may lean from straight, cross or bias grain on a fold: 1 mm over
#: 300 is 0.19 degrees by arithmetic. From `TWISTS` on the garment twists. Our choice.
STRAIGHT, TWISTS = 0.3, 2.0
#: A grainline is at least this long (millimetres), or over this share of the piece. Common
#: practice, no source.
SHORT, SHARE = 100.0, 0.5
#: Degrees by which two grainlines that ought to be alike may differ. Our choice.
ALIKE = 2.0


def fold_grains(bench: Bench) -> Iterator[Fault]:
    """On the fold, cloth lies along its threads: the grainline is parallel, square or at 45."""
    for piece in bench.pattern.pieces:
        fold = _fold(piece)
        if piece.grain is None or fold is None:
            continue
        angle = _lean(_way(piece.grain), _way(fold.path))
        meant = min((0.0, 45.0, 90.0), key=lambda each: abs(each - angle))
        off = abs(angle - meant)
        if off <= STRAIGHT:
            continue
        drift = piece.grain.length * math.tan(math.radians(off))
        yield Fault(
            "grain-fold",
            Severity.ERROR if off > TWISTS else Severity.WARNING,
            piece.name,
            f"The grainline leans {angle:.1f} degrees from the fold"
            + (f", {off:.1f} away from {meant:.0f}" if meant else "")
            + f": {both(drift)} over its length. Cut on the fold, the piece cannot lie so.",
            "Draw the grainline parallel to the fold" + (f", or at {meant:.0f}." if meant else "."),
            detail="grainline",
            numbers={"angle_degrees": angle, "off_degrees": off, "drift_mm": drift},
            spots=(Spot(piece.name, (piece.grain.start, piece.grain.end), (piece.grain,)),),
        )


def short_grains(bench: Bench) -> Iterator[Fault]:
    """Drawn grainlines too short to lay a ruler to; wished ones are as long as there is room."""
    for piece in bench.pattern.pieces:
        if piece.grain is None or piece.wishes.grain is not None:
            continue
        x, y = _way(piece.grain)
        reach = [x * p.x + y * p.y for p in piece.outlines[0].path.flattened(1.0)]
        extent = max(reach) - min(reach)
        length = piece.grain.length
        if length >= min(SHORT, SHARE * extent):
            continue
        yield Fault(
            "grain-short",
            Severity.NOTE,
            piece.name,
            f"The grainline is {both(length)} long on a piece of {both(extent)}: laid to the "
            f"selvedge, 1 mm at its end turns the piece by {math.degrees(1 / length):.1f} "
            "degrees.",
            f"Draw it {both(min(SHORT, 0.8 * extent))} long or more.",
            detail="grainline",
            numbers={"length_mm": length, "extent_mm": extent},
            spots=(Spot(piece.name, (), (piece.grain,)),),
        )


def like_grains(bench: Bench) -> Iterator[Fault]:
    """Joined halves, and a facing and what it faces, lie on the same grain."""
    for first, second in bench.pattern.joined:
        one, other = bench.piece(first), bench.piece(second)
        folds = _fold(one), _fold(other)
        if one.grain is None or other.grain is None or folds[0] is None or folds[1] is None:
            continue
        a = _lean(_way(one.grain), _way(folds[0].path))
        b = _lean(_way(other.grain), _way(folds[1].path))
        if abs(a - b) > ALIKE:
            yield _unlike(one, other, a, b, f"{first} and {second}", "the fold")
    for walk in bench.walks:
        for edge, facing in zip(walk.sides[0].edges, walk.sides[1].edges, strict=False):
            if edge.backwards != facing.backwards or not _same_curve(edge, facing):
                continue
            if edge.piece.name == facing.piece.name:
                continue
            grain, other_grain = edge.piece.grain, facing.piece.grain
            if grain is None or other_grain is None:
                continue
            a = _turn(_way(edge.edge.path), _way(grain))
            b = _turn(_way(facing.edge.path), _way(other_grain))
            if min((a - b) % 180, (b - a) % 180) > ALIKE:
                yield _unlike(edge.piece, facing.piece, a, b, walk.name, "their common edge")


def _unlike(one: Piece, other: Piece, a: float, b: float, subject: str, to: str) -> Fault:
    spots = tuple(Spot(p.name, (), (p.grain,) if p.grain else ()) for p in (one, other))
    return Fault(
        "grain-differs",
        Severity.NOTE,
        subject,
        f"The grain of {one.name} lies at {a:.1f} degrees to {to}, that of {other.name} at "
        f"{b:.1f}: they hang and stretch differently.",
        "If that is not meant, draw both grainlines alike.",
        detail="grainline",
        numbers={"first_degrees": a, "second_degrees": b},
        spots=spots,
    )


def _same_curve(one: SewnEdge, other: SewnEdge) -> bool:
    """Whether two curved edges have one shape: a facing and what it faces."""
    bows = [_bow(each.edge.path) for each in (one, other)]
    return min(map(abs, bows)) > 0.03 and abs(bows[0] - bows[1]) < 0.02


def _bow(path: Path) -> float:
    """The height of the path's middle over its chord, as a share of the chord; signed."""
    start, end, middle = path.start, path.end, path.point_at(path.length / 2)[0]
    chord = start.to(end)
    if chord == 0:
        return 0.0
    across = (end.x - start.x) * (middle.y - start.y) - (end.y - start.y) * (middle.x - start.x)
    return across / chord / chord


def _fold(piece: Piece) -> Edge | None:
    rings = piece.stitch or piece.outlines
    return next((edge for edge in rings[0].edges if edge.lies is Lies.FOLD), None)


def _way(path: Path) -> tuple[float, float]:
    start: Point = path.start
    length = start.to(path.end) or 1.0
    return (path.end.x - start.x) / length, (path.end.y - start.y) / length


def _lean(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Degrees between two lines, from 0 to 90."""
    angle = angle_between(one, other)
    return min(angle, 180.0 - angle)


def _turn(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Degrees from one line to another, anticlockwise, from 0 to 180."""
    across = one[0] * other[1] - one[1] * other[0]
    along = one[0] * other[0] + one[1] * other[1]
    return math.degrees(math.atan2(across, along)) % 180
