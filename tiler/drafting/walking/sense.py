"""Which way round the edges of a seam are sewn: found from what meets at their ends."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise, product

from tiler.drafting.walking.bends import unlike_bends
from tiler.drafting.walking.pairs import unlikeness
from tiler.drafting.walking.side import SewnEdge, SewnSide
from tiler.intake.ring import NEARLY_MEETS
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Piece, Seam

# How much each sign counts. The order matters, not the numbers: ends whose neighbours are sewn
# together outweigh like names, and notches decide where those leave it open.
_SAME_CORNER = 8.0
_MIRRORED = 5.0
_SEWN = 4.0
_FOLLOWS = 3.0
_LIKE = 3.0
_BOTH_RAW = 1.0
_UNLIKE = -2.0
_NAME = 2.0
_REACHES = 1.5
_AS_GIVEN = 1.0
_BENDS = 0.5
_UPPER = 0.1

#: One end of an edge: the piece's name and the neighbouring edge there.
End = tuple[str, Edge]


class Ties:
    """Which edges of a pattern are sewn together, or follow one another in a seam."""

    def __init__(self, seams: Iterable[Seam], pieces: Iterable[Piece] = ()) -> None:
        self._sewn: set[frozenset[tuple[str, str]]] = set()
        self._follow: set[frozenset[tuple[str, str]]] = set()
        # Two edges -> the seams, between the edges beside them, that both run up to.
        self._reach: dict[frozenset[tuple[str, str]], set[frozenset[tuple[str, str]]]] = {}
        beside = _beside(pieces)
        for seam in seams:
            first = [(name.piece, name.letter) for name in seam.first]
            second = [(name.piece, name.letter) for name in seam.second]
            self._sewn |= {frozenset(pair) for pair in product(first, second)}
            for side in (first, second):
                self._follow |= {frozenset(pair) for pair in pairwise(side)}
            if len(first) == len(second) == 1:
                for pair in product(beside.get(first[0], ()), beside.get(second[0], ())):
                    self._reach.setdefault(frozenset(pair), set()).add(
                        frozenset((first[0], second[0]))
                    )

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Ties):
            return NotImplemented
        return (self._sewn, self._follow, self._reach) == (
            other._sewn,
            other._follow,
            other._reach,
        )

    def sewn(self, one: End, other: End) -> bool:
        """Whether some seam has one edge on either side."""
        return self._key(one, other) in self._sewn

    def follows(self, one: End, other: End) -> bool:
        """Whether the edges follow one another on a side of some seam."""
        return self._key(one, other) in self._follow

    def reaches(self, one: End, other: End, across: frozenset[tuple[str, str]]) -> bool:
        """Whether both edges run up to another seam than the one across which they are seen.

        The ends of two sleeves that a shoulder seam runs out to belong together at the
        underarm too.
        """
        return bool(self._reach.get(self._key(one, other), set()) - {across})

    def fit(self, one: End, other: End) -> float:
        """How well two ends go together, told by the edges beside them."""
        (piece, edge), (other_piece, other_edge) = one, other
        fits = 0.0
        if piece == other_piece and edge.letter == other_edge.letter:
            # Left and right of the same piece: mirrored, the same corner meets itself.
            fits += _MIRRORED
        if self.sewn(one, other):
            fits += _SEWN
        elif self.follows(one, other):
            fits += _FOLLOWS
        ends = {edge.lies, other_edge.lies}
        if ends in ({Lies.FOLD}, {Lies.HEM}):
            fits += _LIKE
        elif ends == {Lies.RAW}:
            fits += _BOTH_RAW
        elif len(ends) > 1 and ends & {Lies.FOLD, Lies.HEM}:
            fits += _UNLIKE
        if edge.name and edge.name.casefold() == other_edge.name.casefold():
            fits += _NAME
        return fits

    @staticmethod
    def _key(one: End, other: End) -> frozenset[tuple[str, str]]:
        return frozenset({(one[0], one[1].letter), (other[0], other[1].letter)})


def oriented(
    first: Sequence[SewnEdge], second: Sequence[SewnEdge], ties: Ties
) -> tuple[SewnSide, SewnSide]:
    """Both sides with every edge walked in the direction of the seam.

    The edges of a side are turned so that their inner ends meet: at one corner of a piece, at
    a seam, or next to edges of one kind and name. The second side begins at the end whose
    neighbours fit those of the first side's beginning; notches (and the places where edges
    follow one another) decide where that leaves a choice. A first side that could be either way
    round runs clockwise.

    Args:
        first: Clockwise, in the order of the seam.
        second: The same; it may also be listed in the other order.
        ties: What is sewn together in the pattern.
    """
    ways: list[tuple[float, SewnSide, SewnSide]] = []
    orders = ((second, _AS_GIVEN), (second[::-1], 0.0)) if len(second) > 1 else ((second, 0.0),)
    round_one, round_other = _runs_round(second, ties), _runs_round(first, ties)
    for joints, one in _turned(first, ties, closed=round_one):
        for order, given in orders:
            for others, other in _turned(order, ties, closed=round_other):
                fit = _ends(one, other, ties) - unlikeness(one, other) - _unlike(one, other)
                ways.append((joints + others + given + fit, one, other))
    # The first of the best ones: candidates come clockwise first.
    _, one, other = max(ways, key=lambda way: round(way[0], 6))
    return one, other


def _unlike(one: SewnSide, other: SewnSide) -> float:
    """What it costs that two single edges bend at different places."""
    if len(one.edges) > 1 or len(other.edges) > 1:
        return 0.0
    return _BENDS * unlike_bends(one.edges[0], other.edges[0])


def _ends(one: SewnSide, other: SewnSide, ties: Ties) -> float:
    fits = 0.0
    for at_end in (False, True):
        edge, facing = one.edges[-at_end], other.edges[-at_end]
        ends = _end(edge, at_end=at_end), _end(facing, at_end=at_end)
        across = frozenset((each.piece.name, each.edge.letter) for each in (edge, facing))
        fits += ties.fit(*ends) + (_REACHES if ties.reaches(*ends, across) else 0.0)
    return fits


def _beside(pieces: Iterable[Piece]) -> dict[tuple[str, str], tuple[tuple[str, str], ...]]:
    """The edges before and after every edge of every piece."""
    found = {}
    for piece in pieces:
        letters = [edge.letter for edge in (piece.stitch or piece.outlines)[0].edges]
        for number, letter in enumerate(letters):
            around = letters[number - 1], letters[(number + 1) % len(letters)]
            found[piece.name, letter] = tuple((piece.name, each) for each in around)
    return found


def _end(edge: SewnEdge, *, at_end: bool) -> End:
    return edge.piece.name, edge.neighbour(at_end=at_end)


def _runs_round(edges: Sequence[SewnEdge], ties: Ties) -> bool:
    """Whether one edge makes a ring by itself, as a sleeve head does above its underarm seam."""
    edge = edges[0]
    return len(edges) == 1 and ties.sewn(_end(edge, at_end=False), _end(edge, at_end=True))


def _turned(edges: Sequence[SewnEdge], ties: Ties, *, closed: bool) -> list[tuple[float, SewnSide]]:
    """The ways to turn the edges of one side whose inner ends meet best (four at the most).

    Where the other side makes a ring (`closed`), the outer ends of this one are to meet as well.

    What meets at a joint depends on the two edges there alone, so it is enough to keep, for each
    way of the first and of the last edge, the best of all ways between.
    """
    best: dict[tuple[bool, bool], tuple[float, tuple[SewnEdge, ...]]] = {
        (way, way): (0.0, (replace(edges[0], backwards=way),)) for way in (False, True)
    }
    for edge in edges[1:]:
        longer: dict[tuple[bool, bool], tuple[float, tuple[SewnEdge, ...]]] = {}
        for (start, _), (fit, chain) in best.items():
            for way in (False, True):
                turned = replace(edge, backwards=way)
                total = fit + _joint(chain[-1], turned, ties)
                if (start, way) not in longer or total > longer[start, way][0]:
                    longer[start, way] = total, (*chain, turned)
        best = longer
    if closed and len(edges) > 1:
        best = {
            ways: (
                fit + ties.fit(_end(chain[-1], at_end=True), _end(chain[0], at_end=False)),
                chain,
            )
            for ways, (fit, chain) in best.items()
        }
    top = max(fit for fit, _ in best.values())
    # A little worse is kept as well: which end is the upper one is a weak sign.
    least = top - 2 * _UPPER * len(edges)
    return [(fit, SewnSide(chain)) for fit, chain in best.values() if fit >= least]


def _joint(before: SewnEdge, after: SewnEdge, ties: Ties) -> float:
    out, into = before.corner(at_end=True), after.corner(at_end=False)
    fit = ties.fit(_end(before, at_end=True), _end(after, at_end=False))
    if before.piece.name == after.piece.name and before.edge.letter != after.edge.letter:
        gap = out.to(into)
        # Edges with a dart between them: the nearer ends are the dart's.
        return fit + (_SAME_CORNER if gap <= NEARLY_MEETS else -gap / 1000)
    upper = _upper(before, out) and _upper(after, into)
    return fit + (_UPPER if upper else 0.0)


def _upper(edge: SewnEdge, end: Point) -> bool:
    """Whether an end is the upper one of its edge, as the grainline points."""
    x, y = 0.0, 1.0
    if edge.piece.grain is not None:
        start, tip = edge.piece.grain.start, edge.piece.grain.end
        x, y = tip.x - start.x, tip.y - start.y
    path = edge.edge.path
    other = path.start if end == path.end else path.end
    return (end.x - other.x) * x + (end.y - other.y) * y > 0
