"""Two lines that run side by side so near that their ink is one band: each has a flank of it."""

from __future__ import annotations

import numpy as np

from tiler.intake.photo.ink.centre import STEP, Course, even, normals
from tiler.intake.photo.ink.joints import ends_at
from tiler.intake.photo.ink.legs import Vector
from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.ink.lines import Line, finished
from tiler.intake.photo.ink.meetings import run_through
from tiler.intake.photo.model import Flattened, Points

#: A band is at least so much wider than one of its lines, and at most.
_WIDER, _WIDEST = 1.2, 2.3
#: Cosine of the most that two lines which touch turn against one another.
_BESIDE = 0.87
#: How far along a line its side of a band is looked at, points of a course.
_LOOK = 20
#: Points without which no line goes on.
_LEAST = 3


def abreast_parted(
    lines: list[Line], places: dict[int, Vector], light: Light, flattened: Flattened
) -> None:
    """Replace bands of two lines by the lines.

    Args:
        lines: All lines; a band and the four lines at its ends become two that pass one another.
        places: Where each node is; those at a band's ends are taken out.
        light: The paper's brightness.
        flattened: The picture.
    """
    for band in list(lines):
        a, b = band.start, band.end
        if band not in lines or a is None or b is None or a == b:
            continue
        before = [end for end in ends_at(lines, a) if end[0] is not band]
        after = [end for end in ends_at(lines, b) if end[0] is not band]
        if len(before) != 2 or len(after) != 2:
            continue
        width = float(np.median([line.course.width for line, _ in before + after]))
        if not _WIDER * width < band.course.width < _WIDEST * width:
            continue
        if band.course.good.sum() < 4:
            continue
        before.sort(key=lambda end: -_side(band, end, at_start=True))
        after.sort(key=lambda end: -_side(band, end, at_start=False))
        if before[0][0] is after[1][0] or before[1][0] is after[0][0]:
            continue
        # Both are joined before either is kept, so that nothing is half done.
        new = [
            _joined(band, before[k], after[k], sign, light, flattened)
            for k, sign in ((0, 1.0), (1, -1.0))
        ]
        if before[0][0] is before[1][0] or after[0][0] is after[1][0]:
            continue
        kept = [line for line in new if line is not None]
        if len(kept) < len(new):
            continue
        gone = {id(line) for line, _ in (*before, *after)} | {id(band)}
        lines[:] = [line for line in lines if id(line) not in gone]
        lines.extend(kept)
        del places[a], places[b]


def _side(band: Line, end: tuple[Line, bool], *, at_start: bool) -> float:
    """How far to the left of a band a line lies that leaves it."""
    line, begins = end
    way = line.course.points if begins else line.course.points[::-1]
    some = way[: min(len(way), _LOOK)].mean(axis=0)
    points = band.course.points
    k = 0 if at_start else len(points) - 1
    look = min(len(points) - 1, _LOOK)
    ahead = points[look] - points[0] if at_start else points[-1] - points[-1 - look]
    off = some - points[k]
    return float(ahead[0] * off[1] - ahead[1] * off[0])


def touching_parted(
    lines: list[Line], places: dict[int, Vector], light: Light, flattened: Flattened
) -> None:
    """Take out nodes where two lines touch for a moment, and none crosses the other.

    Args:
        lines: All lines; the four at such a node become two.
        places: Where each node is.
        light: The paper's brightness.
        flattened: The picture.
    """
    for node, place in list(places.items()):
        ends = ends_at(lines, node)
        if len(ends) != 4 or len({id(line) for line, _ in ends}) != 4:
            continue
        pairs = _passing(place, ends)
        if pairs is None:
            continue
        new = []
        for i, j in pairs:
            width = (ends[i][0].course.width + ends[j][0].course.width) / 2
            parts = [
                _clear_of(_towards(ends[i]), place[None], width + 1),
                _clear_of(_towards(ends[j]), place[None], width + 1),
            ]
            parts[1] = parts[1][::-1]
            new.append(_one(parts, ends[i], ends[j], light, flattened))
        kept = [line for line in new if line is not None]
        if len(kept) < len(new):
            continue
        gone = {id(line) for line, _ in ends}
        lines[:] = [line for line in lines if id(line) not in gone]
        lines.extend(kept)
        del places[node]


def _passing(
    place: Vector, ends: list[tuple[Line, bool]]
) -> tuple[tuple[int, int], tuple[int, int]] | None:
    """Which of four ends go on in which, if the two lines stay apart; None when they cross."""
    legs = [line.leg(begins) for line, begins in ends]
    width = min(line.course.width for line, _ in ends)
    best: tuple[float, tuple[tuple[int, int], tuple[int, int]]] | None = None
    for pairs in (((0, 1), (2, 3)), ((0, 2), (1, 3)), ((0, 3), (1, 2))):
        through = [run_through(place, legs[i], legs[j]) for i, j in pairs]
        one, two = through
        if one is None or two is None:
            continue
        side = np.array([-one[1][1], one[1][0]])
        apart = abs(float(side @ (one[0] - two[0])))
        if apart < 0.5 * width or abs(float(one[1] @ two[1])) < _BESIDE:
            continue
        misfit = one[2] + two[2]
        if best is None or misfit < best[0]:
            best = misfit, pairs
    return None if best is None else best[1]


def _joined(
    band: Line,
    before: tuple[Line, bool],
    after: tuple[Line, bool],
    sign: float,
    light: Light,
    flattened: Flattened,
) -> Line | None:
    """A line before a band, its way along the band's flank, and the line after it."""
    own = (before[0].course.width + after[0].course.width) / 2
    course = band.course
    reach = course.flanks[:, 0] if sign > 0 else course.flanks[:, 1]
    aside = sign * np.maximum(reach - own / 2, 0)
    flank = course.points + normals(course.points, False) * aside[:, None]
    # Where the lines part, the paper between them is too narrow to be seen whole.
    clear, ends = 0.6 * course.width, course.points[[0, -1]]
    keep = course.good & (course.flanks.sum(axis=1) > 1.12 * own)
    parts = [
        _clear_of(_towards(before), ends, clear + 1),
        _clear_of(flank[keep], ends, clear),
        _clear_of(_towards(after), ends, clear + 1)[::-1],
    ]
    return _one(parts, before, after, light, flattened)


def _towards(end: tuple[Line, bool]) -> Points:
    """The measured points of a line, the end last."""
    line, begins = end
    points = line.course.points[line.course.good]
    return points[::-1] if begins else points


def _clear_of(points: Points, ends: Points, clear: float) -> Points:
    """Those of the points that are so far from each of the ends."""
    away = np.hypot(*(points[:, None] - ends[None]).transpose(2, 0, 1)).min(axis=1)
    return np.asarray(points[away > clear], np.float64)


def _one(
    parts: list[Points],
    before: tuple[Line, bool],
    after: tuple[Line, bool],
    light: Light,
    flattened: Flattened,
) -> Line | None:
    """One line of measured stretches, with nothing measured between them.

    Args:
        parts: In order along it; the last is the line after, again when both are one.
        before: The line that it begins with, and
        after: the one that it goes on with.
        light: The paper's brightness.
        flattened: The picture.

    Returns:
        None when too few points are left to make a line of.
    """
    (first, begins), (last, starts) = before, after
    closed = first is last
    points = np.concatenate(parts[:-1] if closed else parts)
    if len(points) < _LEAST:
        return None
    own = (first.course.width + last.course.width) / 2
    way = even(points, closed)
    longer = first if len(first.course.points) > len(last.course.points) else last
    course = Course(
        way, _near(way, points), closed, own, longer.course.mix, np.full((len(way), 2), own / 2)
    )
    start = None if closed else (first.end if begins else first.start)
    end = None if closed else (last.end if starts else last.start)
    return finished(course, start, end, light, flattened)


def _near(way: Points, measured: Points) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    from scipy.spatial import cKDTree

    away, _ = cKDTree(measured).query(way)
    return np.asarray(away < 0.8 * STEP)
