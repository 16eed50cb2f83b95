"""Outlines that cannot be a piece: refused, with the place and the edges."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import lru_cache

from shapely import LineString, Point, Polygon
from shapely.validation import explain_validity

from tiler.drafting.points import flattened
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm

#: Chords stay this near (millimetres) to the curves that they stand for.
FLAT = 0.02
SMALLEST = 1.0
LARGEST = 20_000.0
#: Less than this (square millimetres) is a line drawn there and back.
NO_AREA = 0.1


@lru_cache(maxsize=128)
def polygon_of(path: Path) -> Polygon:
    """The inside of a closed path, as chords within 0.02 mm of it."""
    # A ring is looked at by every step that takes it or makes it.
    return Polygon(flattened(path, FLAT))


def refuse_unsound(outline: Outline, where: str) -> None:
    """Refuse an outline that is not the edge of a piece of cloth.

    Args:
        outline: Closed and clockwise.
        where: File and piece, for messages.

    Raises:
        PatternError: Not finite, under 1 mm or over 20 m across, without area, or crossing
            itself.
    """
    place = f"{where}, style {outline.style}" if outline.style else where
    for edge in outline.edges:
        refuse_not_finite(edge.path, f"{place}, edge {edge.letter}")
    bounds = outline.path.bounds
    size = f"{format_mm(bounds.width, 3)} by {format_mm(bounds.height, 3)}"
    if min(bounds.width, bounds.height) < SMALLEST:
        raise PatternError(f"the outline measures only {size}", where=place, remedy=_SIZE_REMEDY)
    if max(bounds.width, bounds.height) > LARGEST:
        raise PatternError(f"the outline measures {size}", where=place, remedy=_SIZE_REMEDY)
    area, invalid = _hull_and_fault(outline.path)
    if area < NO_AREA:
        raise PatternError(
            "the outline has no area",
            where=place,
            remedy="Draw it round the piece, not there and back on one line.",
        )
    if not invalid:
        return
    crossing = _place_in(invalid)
    letters = _edges_at(outline, crossing) if crossing else []
    raise PatternError(
        _crossing(letters, crossing),
        where=f"{place}, {_named(letters)}" if letters else place,
        remedy="Move the nodes there so that the outline goes once round the piece.",
    )


@lru_cache(maxsize=256)
def _hull_and_fault(path: Path) -> tuple[float, str]:
    """Square millimetres of the convex hull, and why the inside is none; empty when it is one."""
    polygon = polygon_of(path)
    return polygon.convex_hull.area, "" if polygon.is_valid else explain_validity(polygon)


_SIZE_REMEDY = "Draw at true size: check width, height and viewBox of the drawing."


def refuse_not_finite(path: Path, where: str) -> None:
    """Check that all coordinates of a path are numbers.

    Raises:
        PatternError: One is infinite or not a number.
    """
    if not all(math.isfinite(x) for segment in path.segments for point in segment for x in point):
        raise PatternError(
            "a coordinate is not a number", where=where, remedy="Draw the line again."
        )


def _place_in(words: str) -> tuple[float, float] | None:
    """The point that shapely names, as in ``Self-intersection[10 5]``."""
    match = re.search(r"\[(\S+) (\S+)\]", words)
    return (float(match[1]), float(match[2])) if match else None


def _edges_at(outline: Outline, place: tuple[float, float]) -> list[str]:
    found = [
        edge.letter
        for edge in outline.edges
        if LineString(edge.path.flattened(FLAT)).distance(Point(place)) < 2 * FLAT
    ]
    return found[:4]


def _crossing(letters: Sequence[str], place: tuple[float, float] | None) -> str:
    at = (
        f" at ({place[0]:.1f}, {place[1]:.1f}) mm from the lower left of the drawing"
        if place
        else ""
    )
    if len(letters) > 1:
        return f"edges {_joined(letters)} cross or touch{at}"
    return f"the outline crosses or touches itself{at}"


def _named(letters: Sequence[str]) -> str:
    return f"edges {_joined(letters)}" if len(letters) > 1 else f"edge {letters[0]}"


def _joined(letters: Sequence[str]) -> str:
    return f"{', '.join(letters[:-1])} and {letters[-1]}"
