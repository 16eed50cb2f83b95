"""Runs of outlines turned into segments, and put together again."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from tiler.intake.photo.curves.chainfit import Held
from tiler.intake.photo.curves.sharing import Key, Part, Run, keys_of, parts_of
from tiler.intake.photo.curves.smoothing import Line, noise_of
from tiler.intake.photo.curves.stretches import Stretch, fit_stretch
from tiler.intake.photo.model import Points, Traced
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

#: A run is on the fold when so much of it lies within so many millimetres of a fold line.
_FOLD_SHARE, _FOLD_REACH = 0.8, 1.5
#: A line that turns by more than this (radians) where another leaves it is left with the kink.
_KINK = math.radians(10.0)


def paths_of(lines: Sequence[Traced], folds: Sequence[Traced] = ()) -> list[Path]:
    """The lines as paths of straight lines and cubics.

    Args:
        lines: Outlines, or lines of one other kind; what several share comes out the same.
        folds: Lines that say where an outline lies on the fold.
    """
    parts = parts_of(lines)
    runs = list({id(part.run): part.run for row in parts for part in row}.values())
    # What most lines share comes first, and the others go on from it.
    runs.sort(key=lambda run: -len(run.lines))
    places = _places(lines, parts)
    bends: dict[Key, float] = {}
    made: dict[int, Stretch] = {}
    cloth = shapely.MultiLineString([fold.points for fold in folds if len(fold.points) > 1])
    for run in runs:
        made[id(run)] = _fitted(run, places, bends, cloth)
    return [_joined(row, made, line.closed) for row, line in zip(parts, lines, strict=True)]


def _places(lines: Sequence[Traced], parts: Sequence[Sequence[Part]]) -> dict[Key, Points]:
    """Where runs end without a corner: noise averaged along the first line that passes there."""
    corners = {
        key for line in lines for key in keys_of(line.points[list(line.corners)].reshape(-1, 2))
    }
    found: dict[Key, Points] = {}
    for line, row in zip(lines, parts, strict=True):
        if len(row) < 2:
            continue
        points = np.concatenate((line.points, line.points[:1])) if line.closed else line.points
        whole = Line(points, line.closed, max(line.unsure, noise_of(points)))
        keys = {key: index for index, key in enumerate(keys_of(line.points))}
        for part in row:
            for key in keys_of(part.run.points[[0, -1]]):
                loose = not line.closed and keys[key] in (0, len(line.points) - 1)
                if key not in corners and key not in found and not loose:
                    found[key] = whole.near(keys[key])[0]
    return found


def _fitted(
    run: Run,
    places: Mapping[Key, Points],
    bends: dict[Key, float],
    cloth: shapely.MultiLineString,
) -> Stretch:
    if run.ring:
        return fit_stretch(run.points, closed=True, unsure=run.unsure)
    points = run.points.copy()
    first, last = keys_of(points[[0, -1]])
    points[0], points[-1] = places.get(first, points[0]), places.get(last, points[-1])
    on_fold = False
    if not cloth.is_empty:
        near = shapely.distance(shapely.points(points), cloth) <= _FOLD_REACH
        on_fold = float(np.mean(near)) >= _FOLD_SHARE
    free = fit_stretch(points, unsure=run.unsure, on_fold=on_fold)
    held = Held(
        _asked(first, run.smooth[0], free.first, bends),
        _asked(last, run.smooth[1], free.last, bends),
    )
    made = free
    if held != Held() and not on_fold:
        made = fit_stretch(points, unsure=run.unsure, held=held)
    if run.smooth[0]:
        bends.setdefault(first, made.first)
    if run.smooth[1]:
        bends.setdefault(last, made.last)
    return made


def _asked(key: Key, smooth: bool, free: float, bends: Mapping[Key, float]) -> float | None:
    """The direction that a run must have at its end; either way along the line is meant."""
    if not smooth or key not in bends:
        return None
    turn = math.remainder(bends[key] - free, math.pi)
    return free + turn if abs(turn) <= _KINK else None


def _joined(row: Sequence[Part], made: Mapping[int, Stretch], closed: bool) -> Path:
    segments: list[Segment] = []
    for part in row:
        own = made[id(part.run)].segments
        segments += [_back(segment) for segment in reversed(own)] if part.backwards else own
    return Path(tuple(segments), closed)


def _back(segment: Segment) -> Segment:
    if isinstance(segment, Straight):
        return Straight(segment.end, segment.start)
    return Cubic(*segment[::-1])
