"""Where every sheet lies on the assembly map, and how small: as large as all of them fit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.units import format_inch
from tiler.sheets.lettering import BODY, LARGE, height_of, width_of
from tiler.sheets.skyline import packed
from tiler.sheets.words import say

#: Left of a sheet for the steps of taping, above it for its heading, and between sheets, mm.
STEPS, HEADING, APART = 10.0, 5.6, 6.0
#: Between single pages, which stand alone, millimetres.
_BETWEEN = 3.0
#: The shorter side of a page is not drawn longer than this, millimetres.
_MOST = 42.0
_HALVINGS = 30

Cells = tuple[Cell, ...]


@dataclass(frozen=True)
class Heading:
    """What stands over a sheet, the left end of its baseline, and its type size."""

    text: str
    at: Point
    size_pt: float


@dataclass(frozen=True)
class Fitted:
    """The sheets of a plan in a frame.

    Args:
        factor: How small the map is.
        sheets: Every sheet's pages, with the map from sheet coordinates to the frame.
        headings: One over each sheet, and one over all single pages together.
        extent: What the map takes of the frame.
    """

    factor: float
    sheets: tuple[tuple[Cells, Affine], ...]
    headings: tuple[Heading, ...]
    extent: Bounds


@dataclass(frozen=True)
class _Tile:
    """What is set as one on the map: a sheet, or all single pages.

    Args:
        boxes: Each sheet's pages, in sheet millimetres.
        words: Headings, the longest first.
        steps: Room at the left for the steps.
    """

    sheets: tuple[Cells, ...]
    boxes: tuple[Bounds, ...]
    words: tuple[str, ...]
    steps: float


def fit(plan: Plan, frame: Bounds) -> Fitted:
    """The largest map that a frame holds: at its top, in the middle across.

    Sheets follow each other from left to right and from the top, each as high up as it goes.
    """
    tiles = _tiles(plan)
    setup = plan.grid.setup
    most = _MOST / min(setup.pitch)
    high = min(most, max(frame.width, 1.0) / min(setup.pitch))
    low = 0.0
    if _height(tiles, frame.width, high) <= frame.height:
        low = high
    else:
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if _height(tiles, frame.width, middle) <= frame.height:
                low = middle
            else:
                high = middle
    factor = low or high
    sizes = [_size(tile, factor, frame.width) for tile in tiles]
    places = _places(sizes, frame.width)
    wide = max(left + size[0] for (left, _), size in zip(places, sizes, strict=True))
    tall = max(down + size[1] for (_, down), size in zip(places, sizes, strict=True))
    start = frame.left + max(0.0, (frame.width - wide) / 2)
    sheets: list[tuple[Cells, Affine]] = []
    headings = []
    for tile, (left, down) in zip(tiles, places, strict=True):
        corner = Point(start + left, frame.top - down)
        own = _size(tile, factor, frame.width)[0] if len(tiles) > 1 else frame.right - corner.x
        headings.append(_heading(tile, corner, own))
        sheets += _set(tile, corner, factor, frame.width)
    extent = Bounds(start, frame.top - tall, start + wide, frame.top)
    return Fitted(factor, tuple(sheets), tuple(headings), extent)


def size_words(bounds: Bounds) -> str:
    """Such as ``108 × 72 cm (43 × 28 in)``."""
    inches = f"{format_inch(bounds.width, 1)} × {format_inch(bounds.height, 1)}"
    inches = inches.replace(" in ×", " ×")
    return f"{bounds.width / 10:.0f} × {bounds.height / 10:.0f} cm ({inches})"


def pages_bounds(plan: Plan, cells: Sequence[Cell]) -> Bounds:
    """What the pattern windows of a sheet's pages span, sheet coordinates."""
    return bounds_of([plan.grid.window(cell) for cell in _outermost(cells)])


def _outermost(cells: Sequence[Cell]) -> set[Cell]:
    """Cells of one sheet that span all of it."""
    rows, columns = attrgetter("row"), attrgetter("column")
    return {pick(cells, key=side) for pick in (min, max) for side in (rows, columns)}


def taped(plan: Plan) -> tuple[Cells, ...]:
    """The sheets of more than one page."""
    return tuple(cells for cells in plan.sheets if len(cells) > 1)


def alone(plan: Plan) -> tuple[Cells, ...]:
    """The sheets of one page: nothing to tape."""
    return tuple(cells for cells in plan.sheets if len(cells) == 1)


def _tiles(plan: Plan) -> list[_Tile]:
    large, single = taped(plan), alone(plan)
    tiles = []
    for number, cells in enumerate(large, start=1):
        facts: dict[str, Any] = {"number": number, "pages": len(cells)}
        size = size_words(pages_bounds(plan, cells))
        only = len(large) == 1 and not single
        key = "map_only_sheet" if only else "map_sheet"
        words: tuple[str, ...] = (
            say(key, size=size, **facts),
            # Without the inches.
            say(key, size=size.partition(" (")[0], **facts),
            say("map_sheet_short", **facts),
            say("map_sheet_least", number=number),
        )
        tiles.append(_Tile((cells,), (_cores(plan, cells),), words, STEPS))
    if single:
        words = (say("map_alone" if len(single) > 1 else "map_alone_one"), say("map_alone_short"))
        boxes = tuple(_cores(plan, cells) for cells in single)
        tiles.append(_Tile(single, boxes, words, 0.0))
    return tiles


def _cores(plan: Plan, cells: Cells) -> Bounds:
    return bounds_of([plan.grid.core(cell) for cell in _outermost(cells)])


def _height(tiles: Sequence[_Tile], width: float, factor: float) -> float:
    """What the tiles take in a frame of that width; without end where one is too wide."""
    sizes = [_size(tile, factor, width) for tile in tiles]
    if any(size[0] > width + 1e-9 for size in sizes):
        return float("inf")
    places = _places(sizes, width)
    return max(down + size[1] for (_, down), size in zip(places, sizes, strict=True))


def _places(sizes: Sequence[tuple[float, float]], width: float) -> list[tuple[float, float]]:
    return packed([(wide + APART, high + APART) for wide, high in sizes], width + APART)


def _size(tile: _Tile, factor: float, width: float) -> tuple[float, float]:
    lines = _lines(tile, factor, width)
    wide = max(sum(box.width * factor + _BETWEEN for box in line) - _BETWEEN for line in lines)
    high = sum(max(box.height for box in line) * factor + _BETWEEN for line in lines) - _BETWEEN
    least = min(width_of(text, BODY, bold=True) for text in tile.words)
    return max(wide + tile.steps, least), high + HEADING


def _lines(tile: _Tile, factor: float, width: float) -> list[list[Bounds]]:
    """The pages of a tile side by side, a new line where the frame ends."""
    lines: list[list[Bounds]] = [[]]
    used = tile.steps
    for box in tile.boxes:
        if lines[-1] and used + box.width * factor > width:
            lines.append([])
            used = tile.steps
        lines[-1].append(box)
        used += box.width * factor + _BETWEEN
    return lines


def _heading(tile: _Tile, corner: Point, wide: float) -> Heading:
    for size_pt in (LARGE - 2, BODY):
        for text in tile.words:
            if width_of(text, size_pt, bold=True) <= wide + 0.01:
                left = corner.x + tile.steps
                if left + width_of(text, size_pt, bold=True) > corner.x + wide:
                    left = corner.x
                return Heading(text, Point(left, corner.y - height_of(size_pt)), size_pt)
    text = tile.words[-1]
    return Heading(text, Point(corner.x, corner.y - height_of(BODY)), BODY)


def _set(tile: _Tile, corner: Point, factor: float, width: float) -> list[tuple[Cells, Affine]]:
    found = []
    top, pages = corner.y - HEADING, iter(tile.sheets)
    for line in _lines(tile, factor, width):
        left = corner.x + tile.steps
        for box in line:
            at = Affine(factor, 0, 0, factor, left - box.left * factor, top - box.top * factor)
            found.append((next(pages), at))
            left += box.width * factor + _BETWEEN
        top -= max(box.height for box in line) * factor + _BETWEEN
    return found
