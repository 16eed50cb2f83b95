"""What is cut: pairs, sides, pieces and cloths that are there twice or for nothing."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot
from tiler.drafting.checks.likeness import likeness, symmetric
from tiler.pattern.model import Lay, Lies, Piece, Role, Severity
from tiler.pattern.units import format_mm

#: Words in the name of a cloth that is only ever laid against another.
BACKING = ("interfacing", "interlining", "fusible", "underlining")


def hands(bench: Bench) -> Iterator[Fault]:
    """Pairs, copies and lone pieces, against whether the piece has a left and a right."""
    return bench.each_piece(_hands)


def _hands(piece: Piece) -> Iterator[Fault]:
    if not piece.cuts or any(e.lies is Lies.FOLD for e in piece.outlines[0].edges):
        return
    even = symmetric(piece.outlines[0])
    lays = [cut.lay for cut in piece.cuts if not is_backing(cut.cloth)]
    for cut in piece.cuts:
        if is_backing(cut.cloth):
            continue
        if even and cut.lay is Lay.PAIR and not piece.marks and not _drawn_on(piece):
            yield _fault(
                piece,
                "pair-symmetric",
                Severity.NOTE,
                "It is to be cut as a mirrored pair, but the piece is its own mirror image.",
                'Write lay = "copies"; then nobody turns it over for nothing.',
            )
        if cut.lay is Lay.PAIR and cut.count % 2:
            yield _fault(
                piece,
                "pair-odd",
                Severity.WARNING,
                f"{cut.count} cannot be cut as mirrored pairs: a pair is two pieces.",
                f"Write count = {cut.count + 1}; or, for one side only, count = {cut.count}, "
                'lay = "copies" and side = "left" or "right".',
                count=float(cut.count),
            )
        if even or cut.lay is not Lay.COPIES or piece.side is not None:
            continue
        if cut.count % 2 == 0:
            yield _fault(
                piece,
                "pair-copies",
                Severity.ERROR,
                f"{cut.count} copies are to be cut of a piece that has a left and a right: all "
                "come out for the same side.",
                'Write lay = "pair"; or, when they are all meant for one side, side = "left".',
                count=float(cut.count),
            )
        elif cut.count == 1 and Lay.PAIR not in lays:
            yield _fault(
                piece,
                "side-unsaid",
                Severity.WARNING,
                "One is to be cut of a piece that has a left and a right, and it is not said "
                "on which side it is worn.",
                'Add side = "left" or side = "right" (as worn; the piece is drawn face up).',
            )


def twins(bench: Bench) -> Iterator[Fault]:
    """Pieces with one outline under two names; of many alike, each is told beside the first."""
    told: set[str] = set()
    for one, other in combinations(bench.pattern.pieces, 2):
        if len(one.outlines) != len(other.outlines) or one.name in told:
            continue
        likes = [likeness(a, b) for a, b in zip(one.outlines, other.outlines, strict=True)]
        if not all(like.same for like in likes) or len({like.mirrored for like in likes}) > 1:
            continue
        told.add(other.name)
        like = max(likes, key=lambda each: each.off)
        mirror = " mirrored" if like.mirrored else ""
        yield Fault(
            "piece-twice",
            Severity.NOTE,
            f"{one.name} and {other.name}",
            f"The two pieces have the same outline{mirror}, within {format_mm(like.off, 2)}.",
            "If it is one piece, draw it once and add up the cuts"
            + (' (lay = "pair").' if like.mirrored else "."),
            numbers={"off_mm": like.off},
            spots=tuple(Spot(p.name, paths=(p.outlines[0].path,)) for p in (one, other)),
        )


def cloths(bench: Bench) -> Iterator[Fault]:
    """Cloths of which nothing is cut, and pieces that are cut of interfacing alone."""
    pattern = bench.pattern
    used = {cut.cloth for piece in pattern.pieces for cut in piece.cuts}
    for name, _ in pattern.cloths:
        if name not in used:
            yield Fault(
                "cloth-unused",
                Severity.WARNING,
                f"cloth {name}",
                "The cloth is on the list of what to buy, but no piece is cut from it.",
                "Add it to the cut of its pieces, or take it off the list.",
            )
    for piece in pattern.pieces:
        if not piece.cuts or not all(is_backing(cut.cloth) for cut in piece.cuts):
            continue
        fit = any(
            likeness(piece.outlines[0], other.outlines[0]).same
            for other in pattern.pieces
            if other is not piece and any(not is_backing(cut.cloth) for cut in other.cuts)
        )
        if not fit:
            yield _fault(
                piece,
                "interfacing-alone",
                Severity.WARNING,
                "It is cut of interfacing only, and no piece of another cloth has its outline: "
                "what does it back?",
                'Add the cloth that it backs to its cut: { count = 1, cloth = "main", ... }.',
            )


def is_backing(cloth: str) -> bool:
    """Whether a cloth is only laid against another, told by its name."""
    return any(word in cloth.casefold() for word in BACKING)


def _drawn_on(piece: Piece) -> bool:
    """Whether lines are drawn on it that may tell left from right."""
    return any(line.role not in (Role.STITCH, Role.FOLD) for line in piece.lines)


def _fault(
    piece: Piece, code: str, severity: Severity, text: str, remedy: str, **numbers: float
) -> Fault:
    spot = Spot(piece.name, paths=(piece.outlines[0].path,))
    return Fault(code, severity, piece.name, text, remedy, numbers=numbers, spots=(spot,))
