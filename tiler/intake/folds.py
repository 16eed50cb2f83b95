"""Fold lines that lie on an edge of the outline."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from tiler.intake.nearest import Seeker, covered, evenly
from tiler.pattern.model import Edge, Lies
from tiler.pattern.path import Path

#: How far (millimetres) a fold line may lie from the edge that it is drawn on.
REACH = 0.5
#: The share of an edge that a fold line must cover to be its fold.
SHARE = 0.9
#: Edges so short (millimetres) lie near a fold line in whichever direction they run.
_SHORT = 5 * REACH


@lru_cache(maxsize=256)
def shares(ring: Path, edges: tuple[Edge, ...], fold: Path) -> Mapping[str, float]:
    """The share of each edge, from 0 to 1, that a fold line on the outline covers.

    Args:
        ring: The whole outline.
        edges: Its edges.
        fold: The fold line.

    Returns:
        Letter -> share; empty when the line leaves the outline, and so is a fold inside.
    """
    outline = Seeker(ring)
    if any(outline.nearest(point, REACH).distance > REACH for point in evenly(fold, 5.0)):
        return {}
    return {
        edge.letter: covered(edge.path, fold, REACH) for edge in edges if edge.path.length > _SHORT
    }


def with_folds(edges: Sequence[Edge], letters: Collection[str]) -> tuple[Edge, ...]:
    """The edges, with those of the given letters on the fold."""
    return tuple(replace(e, lies=Lies.FOLD) if e.letter in letters else e for e in edges)
