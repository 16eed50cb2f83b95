"""Strokes gathered while a content stream is read, made into arrays at its end."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.errors import FileError
from tiler.proof.geometry import Bools, Floats, Ints, grown_window, points_at
from tiler.proof.ink import Mark, Unseen

#: A clip may touch the line that it holds; in units of the stream, whatever those are.
_TRIM_SLACK = 0.02


class Run(NamedTuple):
    """Segments from one to before another that were stroked together."""

    first: int
    last: int
    matrix: Affine
    window: Floats
    mark: int
    unseen: Unseen
    nib: int


class Strokes(NamedTuple):
    """Control points (n, 4, 2) in the space of the stream, and what each belongs to."""

    points: Floats
    mark: Ints
    unseen: Ints
    nib: Ints


def gathered(runs: Sequence[Run], flat: Sequence[float], marks: Sequence[Mark]) -> Strokes:
    """All strokes of a stream.

    Args:
        runs: What was stroked, in order.
        flat: Eight numbers a segment, before their run's matrix.
        marks: The stretches of marked content.

    Raises:
        FileError: A line lies at a place that does not exist.
    """
    counts = np.array([run.last - run.first for run in runs], dtype=np.int64)
    points = np.array(flat, dtype=float).reshape(-1, 4, 2)
    if runs:
        maps = np.array([run.matrix for run in runs], dtype=float)
        each = np.repeat(maps, counts, axis=0)
        x, y = points[..., 0], points[..., 1]
        a, b, c, d, e, f = (each[:, None, k] for k in range(6))
        with np.errstate(over="ignore", invalid="ignore"):
            points = np.stack([a * x + c * y + e, b * x + d * y + f], axis=2)
    if not np.all(np.isfinite(points)) or np.any(np.abs(points) > 1e9):
        raise FileError(
            "a line is drawn at a place that does not exist",
            remedy="The file is damaged; publish it again.",
        )
    unseen = np.repeat(np.array([int(run.unseen) for run in runs], dtype=np.int64), counts)
    trimmed = _trimmed(points, runs, marks)
    return Strokes(
        points=points,
        mark=np.repeat(np.array([run.mark for run in runs], dtype=np.int64), counts),
        unseen=np.where(trimmed, unseen | int(Unseen.TRIMMED), unseen),
        nib=np.repeat(np.array([run.nib for run in runs], dtype=np.int64), counts),
    )


def _trimmed(points: Floats, runs: Sequence[Run], marks: Sequence[Mark]) -> Bools:
    """Which segments a clip in force inside this very stream cuts into.

    Furniture is left aside, but for crosses, measures and ticks.
    """
    trimmed = np.zeros(len(points), dtype=bool)
    by_window: dict[int, list[Run]] = {}
    for run in runs:
        if len(run.window) and _counts(run, marks):
            by_window.setdefault(id(run.window), []).append(run)
    for together in by_window.values():
        window = grown_window(together[0].window, _TRIM_SLACK)
        index = np.concatenate([np.arange(run.first, run.last) for run in together])
        curves = points[index]
        outside = _outside(curves.reshape(-1, 2), window).reshape(-1, 4).any(axis=1)
        if not outside.any():
            continue
        # The control points only bound a curve: look at the curve itself where they stray.
        suspects = curves[outside]
        strays = np.zeros(len(suspects), dtype=bool)
        for t in np.linspace(0, 1, 65):
            strays |= _outside(points_at(suspects, np.full(len(suspects), t)), window)
        trimmed[index[outside]] = strays
    return trimmed


def _counts(run: Run, marks: Sequence[Mark]) -> bool:
    if run.mark < 0:
        return True
    mark = marks[run.mark]
    return not mark.furniture or mark.exact


def _outside(points: Floats, window: Floats) -> Bools:
    outside: Bools = np.any(points @ window[:, :2].T > window[:, 2], axis=1)
    return outside
