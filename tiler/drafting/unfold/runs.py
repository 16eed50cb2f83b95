"""Runs of the outlines, shared by styles, carried on to the whole."""

from __future__ import annotations

from dataclasses import replace

from tiler.drafting.unfold.lines import pinned
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.ring import Lettering
from tiler.intake.ring import MEETS
from tiler.pattern.model import Edge, Lies, Run
from tiler.pattern.path import Path


def opened_run(run: Run, axis: Axis, made: Lettering) -> tuple[Run, ...]:
    """The run and its mirror image; one run where its edge goes on across the fold.

    A run on the fold goes: it is no part of the whole's outline.
    """
    edge = run.edge
    if edge.lies is Lies.FOLD:
        return ()
    starts, ends = (abs(axis.offset(p)) <= MEETS for p in (edge.path.start, edge.path.end))
    path = pinned(
        edge.path,
        axis.foot(edge.path.start) if starts else edge.path.start,
        axis.foot(edge.path.end) if ends else edge.path.end,
    )
    image = path.moved(axis.mirror).reversed()
    # Clockwise, an edge of the half starts at the fold's end, or ends at the fold's start.
    before, after = starts and made.at_end, ends and made.at_start
    mine, other = made.letters[edge.letter, False], made.letters[edge.letter, True]
    if ends:
        image = pinned(image, path.end, image.end)
    if starts:
        image = pinned(image, image.start, path.start)
    if before and after:
        both = path.segments + image.segments
        return (replace(run, edge=_with(edge, mine, Path(both, closed=True))),)
    if after:
        return (replace(run, edge=_with(edge, mine, Path(path.segments + image.segments))),)
    if before:
        return (replace(run, edge=_with(edge, mine, Path(image.segments + path.segments))),)
    return (
        replace(run, edge=_with(edge, mine, path)),
        replace(run, edge=_with(edge, other, image)),
    )


def _with(edge: Edge, letter: str, path: Path) -> Edge:
    return replace(edge, letter=letter, path=path)
