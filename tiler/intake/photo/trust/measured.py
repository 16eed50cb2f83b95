"""The drawn lines as places, each with how the line that was measured lies beside it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.intake.drawn import DrawnPath
from tiler.intake.photo.model import Numbers, Points, Tracing
from tiler.intake.photo.trust.imagined import Places
from tiler.pattern.model import Role

#: From place to place along a line, millimetres.
STEP = 5.0
#: More places than this are thinned out.
_MOST = 1500
#: A measured line belongs to a place when it passes so near, millimetres.
_NEAR = 3.0
#: Uncertainty of what was drawn and not measured, and of a closed gap, millimetres.
_UNMEASURED, _BRIDGED = 0.3, 0.2
#: A closed gap reaches so far from its middle, millimetres.
_GAP = 4.0
#: Short marks and lines whose place matters less are left out while there are others.
_LESS = {Role.GRAIN, Role.NOTCH, Role.DRILL, Role.BUTTON, Role.BUTTONHOLE}


def places_on(tracings: Sequence[Tracing], drawn: Sequence[Sequence[DrawnPath]]) -> Places:
    """Places along the drawn lines."""
    every = [path for paths in drawn for path in paths]
    chosen = [path for path in every if path.role not in _LESS and not path.corner] or every
    length = sum(path.path.length for path in chosen)
    step = max(STEP, length / _MOST)
    rows = [_spaced(path, step) for path in chosen]
    points = np.concatenate([here for here, _ in rows])
    normals = np.concatenate([normal for _, normal in rows])
    path = np.repeat(np.arange(len(rows)), [len(here) for here, _ in rows])
    misfit, unsure = _beside(tracings, points, normals)
    return Places(points, normals, path, step, misfit, unsure)


def _spaced(drawn: DrawnPath, step: float) -> tuple[Points, Points]:
    """Points evenly along a path, and unit normals there."""
    fine = np.array(drawn.path.flattened(0.02))
    ways = np.diff(fine, axis=0)
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    kept = lengths > 1e-9
    along = np.concatenate(([0.0], np.cumsum(lengths)))
    count = max(2, round(along[-1] / step))
    at = (np.arange(count) + 0.5) * (along[-1] / count)
    points = np.column_stack([np.interp(at, along, fine[:, k]) for k in (0, 1)])
    inside = np.clip(np.searchsorted(along[1:][kept], at), 0, int(kept.sum()) - 1)
    units = (ways[kept] / lengths[kept, None])[inside]
    return points, np.column_stack((-units[:, 1], units[:, 0]))


def _beside(
    tracings: Sequence[Tracing], points: Points, normals: Points
) -> tuple[Numbers, Numbers]:
    """How far the measured line lies along each normal, and how unsure it is there."""
    from scipy.spatial import KDTree

    lines = [line for tracing in tracings for line in tracing.lines if len(line.points)]
    measured = np.concatenate([line.points for line in lines])
    sure = np.concatenate([np.full(len(line.points), line.unsure) for line in lines])
    gaps = np.concatenate([line.bridged.reshape(-1, 2) for line in lines])
    away, nearest = KDTree(measured).query(points)
    beside = np.einsum("ij,ij->i", measured[nearest] - points, normals)
    there = away < _NEAR
    unsure = np.where(there, sure[nearest], _UNMEASURED)
    if len(gaps):
        closed = KDTree(gaps).query(points)[0] < _GAP
        unsure = np.where(closed, np.hypot(unsure, _BRIDGED), unsure)
    return np.where(there, beside, 0.0), unsure
