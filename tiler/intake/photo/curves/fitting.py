"""Lines of a tracing as straight lines and Béziers, with the roles that drawings know.

Every line is cut at its corners, which are kept, and each stretch is fitted by `stretches.py`.
What is drawn on an outline is then moved exactly on to it: notches, folds, ends of darts.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from tiler.intake.drawn import DrawnPath
from tiler.intake.edges import CORNER_TURN
from tiler.intake.marks import drill_cross
from tiler.intake.photo.curves.onoutline import fold_on, notch_on, with_ends_on
from tiler.intake.photo.curves.outlining import paths_of
from tiler.intake.photo.model import Kind, Points, Traced, Tracing
from tiler.pattern.affine import Point
from tiler.pattern.model import Role
from tiler.pattern.path import Path, circle
from tiler.pattern.segment import Straight, turn_between

#: Corners that turn by less than this (degrees) are marked; a little more than what makes a corner
#: by itself, since the marks are read from files that round.
_MARKED = CORNER_TURN + 1.0
#: Radius of a corner mark, and half the length of the strokes of a drill mark, millimetres.
_MARK, _STROKE = 1.0, 3.0

_ROLES = {
    Kind.OUTLINE: None,
    Kind.FOLD: Role.FOLD,
    Kind.GRAIN: Role.GRAIN,
    Kind.NOTCH: Role.NOTCH,
    Kind.DART: Role.DART,
    Kind.DRILL: Role.DRILL,
    Kind.INSIDE: Role.INSIDE,
}
_WORDS = {
    Kind.OUTLINE: "outline",
    Kind.FOLD: "fold line",
    Kind.GRAIN: "grainline",
    Kind.NOTCH: "notch",
    Kind.DART: "dart",
    Kind.DRILL: "drill mark",
    Kind.INSIDE: "line",
}


def fitted(tracing: Tracing) -> tuple[DrawnPath, ...]:
    """The lines of a piece, drawn.

    Outlines come first, then the marks of their corners that turn by less than 31 degrees, then
    the other lines in their order. Outlines have no role: nobody has said whether the stitch or
    the cut line was traced.

    Args:
        tracing: At least one outline.
    """
    outlines = [line for line in tracing.lines if line.kind is Kind.OUTLINE]
    others = [line for line in tracing.lines if line.kind is not Kind.OUTLINE]
    folds = [line for line in others if line.kind is Kind.FOLD]
    paths = paths_of(outlines, folds)
    named = list(_named([*outlines, *others]))
    drawn = [
        _drawn(line, path, name)
        for line, path, name in zip(outlines, paths, named[: len(outlines)], strict=True)
    ]
    marks = list(_corner_marks(outlines, paths))
    rings = [(line.style, path) for line, path in zip(outlines, paths, strict=True)]
    inner = [
        _drawn(line, _path(line, [p for style, p in rings if _goes(line.style, style)]), name)
        for line, name in zip(others, named[len(outlines) :], strict=True)
    ]
    return (*drawn, *marks, *inner)


def misfit(traced: Traced, path: Path) -> tuple[float, float]:
    """How far a fitted path is from the points of its line, millimetres.

    Returns:
        Root mean square and the largest distance.
    """
    line = shapely.LineString(path.flattened(0.005))
    off = shapely.distance(shapely.points(traced.points), line)
    return float(np.sqrt(np.mean(off * off))), float(off.max())


def _goes(one: str, other: str) -> bool:
    return one == other or not one or not other


def _named(lines: Sequence[Traced]) -> Iterator[str]:
    kinds = [line.kind for line in lines]
    for number, line in enumerate(lines):
        word = _WORDS[line.kind]
        if kinds.count(line.kind) > 1 or line.kind is Kind.INSIDE:
            word += f" {kinds[: number + 1].count(line.kind)}"
        yield f"{word} in the photo" + (f", style {line.style}" if line.style else "")


def _drawn(line: Traced, path: Path, name: str) -> DrawnPath:
    return DrawnPath(path, _ROLES[line.kind], line.style, False, name, ())


def _path(line: Traced, rings: Sequence[Path]) -> Path:
    if line.kind is Kind.GRAIN:
        return _straightened(line.points)
    if line.kind is Kind.DRILL:
        return _cross(line.points)
    if line.kind is Kind.NOTCH:
        return notch_on(line.points, rings)
    if line.kind is Kind.FOLD:
        found = fold_on(line.points, rings)
        if found is not None:
            return found
    (path,) = paths_of([line])
    return path if line.closed else with_ends_on(path, rings)


def _straightened(points: Points) -> Path:
    """The straight line through points, by least squares of the distances, as long as they."""
    middle = points.mean(axis=0)
    way = np.linalg.svd(points - middle, full_matrices=False)[2][0]
    along = (points - middle) @ way
    way = way if along[-1] >= along[0] else -way
    reach = np.abs(along).max() if len(points) < 2 else 0.0
    along = (points - middle) @ way
    ends = (middle + way * (along.min() - reach), middle + way * (along.max() + reach))
    start, end = (Point(float(x), float(y)) for x, y in ends)
    return Path((Straight(start, end),))


def _cross(points: Points) -> Path:
    """Two strokes whose middle is that of the mark."""
    x, y = (points.min(axis=0) + points.max(axis=0)) / 2
    return drill_cross(Point(float(x), float(y)), _STROKE)


def _corner_marks(lines: Sequence[Traced], paths: Sequence[Path]) -> Iterator[DrawnPath]:
    """Marks for corners that would not be seen by their turn; one where styles share them."""
    marked: set[Point] = set()
    for line, path in zip(lines, paths, strict=True):
        corners = [Point(float(x), float(y)) for x, y in line.points[list(line.corners)]]
        for before, after in zip((path.segments[-1], *path.segments), path.segments, strict=False):
            at = after.start
            if at in marked or abs(turn_between(before, after)) > _MARKED:
                continue
            if any(corner.to(at) < 1e-6 for corner in corners):
                marked.add(at)
                name = f"corner mark {len(marked)} in the photo"
                yield DrawnPath(circle(at, _MARK), None, "", True, name, ())
