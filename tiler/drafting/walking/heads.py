"""Sleeve heads and the armholes that they are set into, told by their shape."""

from __future__ import annotations

from tiler.drafting.walking.side import SewnEdge, SewnSide
from tiler.pattern.affine import Point

#: An edge whose line is longer than the straight way between its ends by this share, and round
#: outwards, is a sleeve head when it is sewn into a hollow of several edges. Our choice.
_ROUND = 1.05


def set_in(one: SewnSide, other: SewnSide) -> bool:
    """Whether one side is round, in one edge or two, and set into a hollow of several edges."""
    return any(
        is_head(head) and len(hole.edges) > 1 and all(_bulge(edge) < 0 for edge in hole.edges)
        for head, hole in ((one, other), (other, one))
    )


def is_head(side: SewnSide) -> bool:
    """Whether all edges of a side are round, and so much as those of a sleeve head."""
    return all(_bulge(edge) > 0 for edge in side.edges) and side.total > _ROUND * sum(
        map(_chord, side.edges)
    )


def _chord(edge: SewnEdge) -> float:
    return edge.edge.path.start.to(edge.edge.path.end)


def _bulge(edge: SewnEdge) -> float:
    """Square millimetres between a clockwise edge and its chord; positive where it is round."""
    path = edge.edge.path
    start, end = path.start, path.end
    home = Point(end.x - start.x, end.y - start.y)
    # Green's theorem on the edge and the straight way back, relative to its start.
    closing = (end.x * start.y - start.x * end.y) / 2
    return -(path.area + closing) if home != (0.0, 0.0) else -path.area
