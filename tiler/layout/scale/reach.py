"""The longest lengths of a pattern, over which an error of scale adds up."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Lay, Lies, Outline, Pattern, Piece
from tiler.pattern.wishes import EdgeName

#: Levels at which the width of a piece is taken.
_LEVELS = 240
#: Chords stay this near to the curves, millimetres.
_FLAT = 0.2


@dataclass(frozen=True)
class Span:
    """A length that somebody will feel, millimetres, and what it is."""

    what: str
    length: float


@dataclass(frozen=True)
class Reach:
    """What an error of scale is carried over.

    Args:
        girth: Round the garment, or what comes nearest to it.
        length: The longest piece along its grain.
        seam: The longest seam; None when nothing is sewn.
    """

    girth: Span
    length: Span
    seam: Span | None


def reach_of(pattern: Pattern) -> Reach:
    """The longest lengths of a pattern, on its stitch lines where they are known.

    Where the maker has said which pieces are front and back, the girth is the widest front and the
    widest back together, as often as they are cut: what goes once round the body. Where not, nobody
    can tell which pieces go round what: it is the longest seam, or without seams the widest piece.
    A width is that of the cloth across the grain at one level, all of a half piece counted twice.
    Only pieces of the main cloth count.

    Args:
        pattern: Drafted; half pieces are half.
    """
    pieces = _main(pattern)
    body = [piece for piece in pieces if piece.part]
    longest = max(body or pieces, key=lambda piece: _extent(piece)[1])
    seam = _longest_seam(pattern)
    return Reach(
        _round(pattern, body) if body else _without_parts(pattern, pieces, seam),
        Span(f"{longest.name}, along the grain", _extent(longest)[1]),
        seam,
    )


def _round(pattern: Pattern, body: list[Piece]) -> Span:
    parts = {piece.part: [p for p in body if p.part == piece.part] for piece in body}
    widest = [
        max(group, key=lambda piece: _extent(piece)[0] * _count(pattern, piece))
        for group in parts.values()
    ]
    girth = sum(_extent(piece)[0] * _count(pattern, piece) for piece in widest)
    return Span(f"{' and '.join(_times(pattern, p) for p in widest)}, where widest", girth)


def _without_parts(pattern: Pattern, pieces: list[Piece], seam: Span | None) -> Span:
    if pattern.seams and seam:
        return Span(f"{seam.what}, the longest seam", seam.length)

    def width(piece: Piece) -> float:
        return _extent(piece)[0] * (2 if _on_fold(piece) else 1)

    widest = max(pieces, key=width)
    return Span(f"{widest.name}, where widest", width(widest))


def _main(pattern: Pattern) -> list[Piece]:
    """The pieces of the main cloth, the one named first; all, when no piece says its cloth."""
    named = [name for name, _ in pattern.cloths]
    named += [cut.cloth for piece in pattern.pieces for cut in piece.cuts]
    for cloth in named:
        found = [p for p in pattern.pieces if any(cut.cloth == cloth for cut in p.cuts)]
        if found:
            return found
    return list(pattern.pieces)


def _count(pattern: Pattern, piece: Piece) -> int:
    """How often the drawn width goes into the garment."""
    cloths = {cut.cloth for main in _main(pattern)[:1] for cut in main.cuts[:1]}
    cuts = [cut for cut in piece.cuts if cut.cloth in cloths] or list(piece.cuts)
    return max((cut.count * (2 if cut.lay is Lay.FOLD else 1) for cut in cuts), default=1)


def _times(pattern: Pattern, piece: Piece) -> str:
    """The piece's name, and how often it is cut; a half on the fold is one piece."""
    count = _count(pattern, piece) // (2 if _on_fold(piece) else 1)
    return f"{count} x {piece.name}" if count > 1 else piece.name


def _on_fold(piece: Piece) -> bool:
    return any(cut.lay is Lay.FOLD for cut in piece.cuts)


def _rings(piece: Piece) -> tuple[Outline, ...]:
    return piece.stitch or piece.outlines


def _extent(piece: Piece) -> tuple[float, float]:
    """Widest across the grain at one level, and longest along it, over all styles."""
    upright = _upright(piece)
    widest = longest = 0.0
    for ring in _rings(piece):
        points = [upright(point) for point in ring.path.flattened(_FLAT)]
        heights = [point.y for point in points]
        bottom, top = min(heights), max(heights)
        longest = max(longest, top - bottom)
        step = (top - bottom) / _LEVELS
        widest = max(
            widest, *(_width_at(points, bottom + (i + 0.5) * step) for i in range(_LEVELS))
        )
    return widest, longest


def _upright(piece: Piece) -> Affine:
    """The turn that sets the grain upright."""
    if piece.grain is None:
        return Affine()
    foot, head = piece.grain.start, piece.grain.end
    return Affine.turn(90 - math.degrees(math.atan2(head.y - foot.y, head.x - foot.x)))


def _width_at(points: list[Point], level: float) -> float:
    """Cloth inside a ring at a height: what lies between its crossings, taken in pairs."""
    crossings = sorted(
        a.x + (b.x - a.x) * (level - a.y) / (b.y - a.y)
        for a, b in zip(points, [*points[1:], points[0]], strict=True)
        if (a.y > level) != (b.y > level)
    )
    return sum(right - left for left, right in zip(crossings[::2], crossings[1::2], strict=True))


def _longest_seam(pattern: Pattern) -> Span | None:
    """The longest side of a seam; of one between two pieces, which may lie any way, if there is."""
    between = [
        seam
        for seam in pattern.seams
        if len({edge.piece for edge in (*seam.first, *seam.second)}) > 1
    ]
    spans = [
        Span(seam.name or " + ".join(map(str, side)), _along(pattern, side))
        for seam in between or pattern.seams
        for side in (seam.first, seam.second)
    ]
    if not spans:
        spans = [
            Span(f"{piece.name}.{edge.letter}", edge.path.length)
            for piece in pattern.pieces
            for ring in _rings(piece)
            for edge in ring.edges
            if edge.lies is Lies.SEWN
        ]
    return max(spans, key=lambda span: span.length, default=None)


def _along(pattern: Pattern, side: Iterable[EdgeName]) -> float:
    """One side of a seam in the style in which it is longest; 0 for an edge that is not there."""
    total = 0.0
    for name in side:
        total += max(
            (
                edge.path.length
                for piece in pattern.pieces
                if piece.name == name.piece
                for ring in _rings(piece)
                for edge in ring.edges
                if edge.letter == name.letter
            ),
            default=0.0,
        )
    return total
