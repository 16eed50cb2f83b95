"""Numbers, paths and matrices as the words of a content stream."""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

from tiler.pattern.affine import Affine
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic


@lru_cache(maxsize=1 << 14)
def number(value: float, places: int = 4) -> str:
    """Millimetres to a tenth of a micrometre, without needless digits."""
    # The same few lengths and places come again on every page.
    if not math.isfinite(value):
        raise AssertionError("a drawing holds finite numbers only")
    words = f"{value:.{places}f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words


def numbers(values: Iterable[float]) -> str:
    """Several of them, apart."""
    return " ".join(map(number, values))


def matrix_code(at: Affine, operator: str = "cm") -> str:
    """A matrix with its operator; turns are written finer than places."""
    a, b, c, d, e, f = at
    turn = "1 0 0 1" if (a, b, c, d) == (1, 0, 0, 1) else " ".join(number(v, 9) for v in at[:4])
    return f"{turn} {number(e)} {number(f)} {operator}"


def path_code(path: Path) -> str:
    """Path operators (ISO 32000-1, table 59); lines stay lines and curves curves."""
    segments = path.segments
    start = segments[0][0]
    parts = [f"{number(start.x)} {number(start.y)} m"]
    if path.closed and not isinstance(segments[-1], Cubic) and len(segments) > 2:
        segments = segments[:-1]
    for segment in segments:
        if isinstance(segment, Cubic):
            _, (ax, ay), (bx, by), (x, y) = segment
            handles = f"{number(ax)} {number(ay)} {number(bx)} {number(by)}"
            parts.append(f"{handles} {number(x)} {number(y)} c")
        else:
            x, y = segment[1]
            parts.append(f"{number(x)} {number(y)} l")
    if path.closed:
        parts.append("h")
    return " ".join(parts)


def box_code(path: Path) -> str:
    """An upright rectangle in one operator, run through the same way; empty for other paths."""
    if not path.closed or len(path.segments) != 4:
        return ""
    if any(isinstance(segment, Cubic) for segment in path.segments):
        return ""
    corners = list(path.nodes())[:4]
    if corners[0].y != corners[1].y:
        corners = [*corners[1:], corners[0]]
    a, b, c, d = corners
    if a.y != b.y or b.x != c.x or c.y != d.y or d.x != a.x:
        return ""
    return f"{numbers((a.x, a.y, b.x - a.x, c.y - b.y))} re"
