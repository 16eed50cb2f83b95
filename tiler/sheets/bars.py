"""Check bars: a length to lay a rule against, in both directions on every page."""

from __future__ import annotations

from functools import lru_cache

from tiler.layout.tiles import STRIP, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.drawing import Drawing, Group, Item, Stroke, Use, Words
from tiler.sheets.lettering import SMALL, width_of
from tiler.sheets.pens import BAR, FINE
from tiler.sheets.words import say

#: Height of the bar's own line over the outer edge of its strip, millimetres.
BASE = 0.35


def bar_lengths(setup: PageSetup) -> tuple[float, float]:
    """Whole tens of millimetres that fit across and up the pattern window."""
    return float(setup.window.width // 10 * 10), float(setup.window.height // 10 * 10)


def draw_bars(setup: PageSetup) -> Use:
    """Both bars of a page, page coordinates: below the window and to its left.

    The same drawing for all pages of a setup.
    """
    return Use(_bars(setup))


@lru_cache(maxsize=64)
def _bars(setup: PageSetup) -> Drawing:
    across, up = bar_lengths(setup)
    printable = setup.printable
    level = printable.bottom + BASE
    left = setup.window.left + (setup.window.width - across) / 2
    upright = printable.left + BASE
    foot = setup.window.bottom + (setup.window.height - up) / 2
    items = (
        _measure(Point(left, level), Point(left + across, level), (across, 0.0)),
        Use(_ticks(across), Affine.move(left, printable.bottom)),
        _measure(Point(upright, foot), Point(upright, foot + up), (0.0, up)),
        # Turned clockwise its zero is at the top and its numbers stay on the inner side.
        Use(_ticks(up), Affine.turn(-90).then(Affine.move(printable.left, foot + up))),
    )
    return Drawing(printable, items)


def _measure(start: Point, end: Point, size: tuple[float, float]) -> Group:
    return Group(
        (Stroke((polyline([start, end]),), BAR),), furniture=True, facts=(("Measure", size),)
    )


@lru_cache(maxsize=64)
def _ticks(length: float) -> Drawing:
    """Ticks every 10 mm, numbers every 50 mm, and what the bar should measure."""
    items: list[Item] = []
    ends = [polyline([Point(x, BASE), Point(x, 2.9)]) for x in (0.0, length)]
    text = say("bar", mm=f"{length:.0f}", inch=f"{length / MM_PER_INCH:.3f}")
    start = 58.0 if length >= 100 else 1.0
    words = Bounds(start, 0, start + width_of(text, SMALL), STRIP)
    small = [
        polyline([Point(x, BASE), Point(x, BASE + (0.9 if x % 50 else 1.3))])
        for x in range(10, int(length), 10)
        if not words.left - 1 < x < words.right + 1
    ]
    items += [Stroke(tuple(ends), BAR), Stroke(tuple(small), FINE)]
    items.append(Words(text, Point(start, BASE + 0.4), SMALL))
    for x in range(50, int(length) - 9, 50):
        if not words.left - 6 < x < words.right + 1:
            items.append(Words(str(x), Point(x + 0.7, BASE + 0.4), SMALL, grey=0.2))
    return Drawing(Bounds(-0.5, 0, length + 0.5, STRIP + 0.5), tuple(items))
