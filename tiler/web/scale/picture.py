"""The page with its two bars, from the drawing that is printed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import STILL, Affine, Point
from tiler.sheets.bars import draw_bars
from tiler.sheets.drawing import Group, Item, Page, Stroke, Use
from tiler.sheets.scalesheet import draw_scale_sheet

if TYPE_CHECKING:
    from tiler.web.scale.measured import Printed

#: A line straighter than this goes along a side of the paper, millimetres.
_STRAIGHT = 0.01


@dataclass(frozen=True)
class Bar:
    """A bar on the page, y down from the upper edge of the paper, millimetres.

    Args:
        start: One end.
        end: The other, to the right or below.
        length: What it should measure.
    """

    start: Point
    end: Point
    length: float

    @property
    def middle(self) -> Point:
        """Halfway."""
        return Point((self.start.x + self.end.x) / 2, (self.start.y + self.end.y) / 2)


@dataclass(frozen=True)
class Picture:
    """A sheet of paper, upright, and where the bars are.

    Args:
        width: Of the paper, millimetres.
        height: Of the paper, millimetres.
        across: The bar along the short side.
        up: The bar along the long side.
        seen: Whether the page itself can be shown under them: it is the same for everybody.
        window: Where the pattern is on a page of it, y down: left, top, width, height; None on the
            calibration page.
    """

    width: float
    height: float
    across: Bar
    up: Bar
    seen: bool
    window: tuple[float, float, float, float] | None = None


def picture_of(printed: Printed) -> Picture:
    """Where to measure on a page.

    Raises:
        PaperError: The paper is too small, or the margin leaves no room.
    """
    paper = find_paper(printed.paper)
    calibration = printed.page == "calibration"
    if calibration:
        items = calibration_page(printed.paper).items
        window = None
    else:
        setup = PageSetup(paper, margin=printed.margin)
        items = (draw_bars(setup),)
        left, low, right, top = setup.window
        window = left, paper.height - top, right - left, top - low
    found: dict[bool, Bar] = {}
    for start, end in _measures(items, STILL):
        level = abs(end.y - start.y) < _STRAIGHT
        if not level and abs(end.x - start.x) >= _STRAIGHT:
            continue
        length = abs(end.x - start.x) + abs(end.y - start.y)
        if level not in found or length > found[level].length:
            first, last = sorted((start, end), key=lambda p: (p.x, -p.y))
            found[level] = Bar(
                Point(first.x, paper.height - first.y), Point(last.x, paper.height - last.y), length
            )
    return Picture(paper.width, paper.height, found[True], found[False], calibration, window)


def calibration_page(paper: str) -> Page:
    """The calibration page of a paper.

    Raises:
        PaperError: There is no such paper, or it is too small.
    """
    return draw_scale_sheet(find_paper(paper)).pages[0]


def _measures(items: tuple[Item, ...], at: Affine) -> Iterator[tuple[Point, Point]]:
    """The ends of all lines that say what they measure, page coordinates."""
    for item in items:
        if isinstance(item, Use):
            yield from _measures(item.drawing.items, item.at.then(at))
        elif isinstance(item, Group):
            inner = item.at.then(at) if item.at else at
            if any(name == "Measure" for name, _ in item.facts):
                for path in (
                    p for each in item.items if isinstance(each, Stroke) for p in each.paths
                ):
                    if len(path.segments) == 1:
                        yield inner(path.start), inner(path.end)
            yield from _measures(item.items, inner)
