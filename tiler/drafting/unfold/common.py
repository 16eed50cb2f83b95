"""The fold line that two joined halves have in common, drawn once for every style."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from tiler.pattern.affine import Point
from tiler.pattern.model import AND, Lies, Outline, Piece, Run, styles_in
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight

#: What would be shorter (millimetres) is not drawn.
_NOTHING = 0.05


def fold_of_the_first(first: Piece, second: Piece) -> tuple[Piece, Piece]:
    """Leave the fold to one of two halves that hang on the same line.

    Args:
        first: Draws its fold.
        second: Keeps of its fold what the first one's does not cover, style by style: in one style
            the front may be longer at the centre, in another one the back.

    Returns:
        Both, with the runs that each draws.
    """
    theirs = [run for run in runs_of(first) if run.edge.lies is Lies.FOLD]
    styles = tuple(dict.fromkeys((*first.styles, *second.styles))) or ("",)
    runs: list[Run] = []
    for run in runs_of(second):
        runs += [run] if run.edge.lies is not Lies.FOLD else _beyond(run, theirs, styles)
    return first, replace(second, shared=tuple(runs))


def runs_of(piece: Piece) -> tuple[Run, ...]:
    """The runs of a piece, those of its outlines when no style shares any."""
    return piece.shared or tuple(_each(piece.outlines))


def _each(outlines: Iterable[Outline]) -> Iterator[Run]:
    for outline in outlines:
        for edge in outline.edges:
            yield Run(outline.role, edge, outline.style)


def _beyond(run: Run, others: Sequence[Run], styles: Sequence[str]) -> Iterator[Run]:
    """The parts of a run on the fold that others on its line do not draw for all its styles."""
    start, end = run.edge.path.start, run.edge.path.end
    length = start.to(end)
    way = ((end.x - start.x) / length, (end.y - start.y) / length)

    def along(point: Point) -> float:
        ahead = (point.x - start.x) * way[0] + (point.y - start.y) * way[1]
        return min(max(ahead, 0.0), length)

    spans = []
    for other in others:
        low, high = sorted((along(other.edge.path.start), along(other.edge.path.end)))
        spans.append((low, high, styles_in(other.style) or styles))
    own = styles_in(run.style) or styles
    marks = sorted({0.0, length, *(at for low, high, _ in spans for at in (low, high))})
    for low, high in pairwise(marks):
        middle = (low + high) / 2
        there = {s for a, b, drawn in spans if a < middle < b for s in drawn}
        left = [style for style in own if style not in there]
        if left and high - low > _NOTHING:
            key = run.style if len(left) == len(own) else AND.join(left)
            ends = (Point(start.x + way[0] * at, start.y + way[1] * at) for at in (low, high))
            path = Path((Straight(*ends),))
            yield Run(run.role, replace(run.edge, path=path), key)
