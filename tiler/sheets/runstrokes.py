"""The runs of outlines as strokes, as few as their pens allow."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.ring import SPECK
from tiler.pattern.model import Lies, Run
from tiler.pattern.path import Path
from tiler.sheets.drawing import Pen, Stroke
from tiler.sheets.pens import FOLD, PENS, style_pen


def run_strokes(runs: Sequence[Run], order: tuple[str, ...]) -> list[Stroke]:
    """Runs that follow one another with one pen become one stroke: dashes run on round corners.

    Args:
        runs: Of one style key.
        order: The pattern's styles.
    """
    chains: list[tuple[Pen, list[Path]]] = []
    for run in runs:
        pen, path = _pen(run, order), run.edge.path
        if chains and chains[-1][0] == pen and _follows(chains[-1][1][-1], path):
            chains[-1][1].append(path)
        else:
            chains.append((pen, [path]))
    if len(chains) > 1 and _goes_on(chains[-1], chains[0]):
        pen, paths = chains.pop()
        chains[0] = (pen, [*paths, *chains[0][1]])
    return [Stroke((_joined(paths),), pen) for pen, paths in chains]


def _goes_on(last: tuple[Pen, list[Path]], first: tuple[Pen, list[Path]]) -> bool:
    return last[0] == first[0] and _follows(last[1][-1], first[1][0])


def _follows(before: Path, after: Path) -> bool:
    return not before.closed and before.end.to(after.start) <= SPECK


def _joined(paths: list[Path]) -> Path:
    segments = tuple(segment for path in paths for segment in path.segments)
    closed = paths[0].closed or (len(segments) > 1 and _follows(paths[-1], paths[0]))
    return Path(segments, closed)


def _pen(run: Run, order: tuple[str, ...]) -> Pen:
    if run.edge.lies is Lies.FOLD:
        return FOLD
    return style_pen(PENS[run.role], order, run.style)
