"""How the pages are joined, in few words, and how to read whether a joint closes right."""

from __future__ import annotations

from tiler.layout.plan import Plan
from tiler.pattern.bounds import Bounds
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item
from tiler.sheets.lettering import BODY, LARGE
from tiler.sheets.vernier import draw_vernier_help, vernier_help_height
from tiler.sheets.ways import Way
from tiler.sheets.words import say

#: The examples stand beside the words in a frame at least this wide, and take so much of it, mm:
#: whatever makes both together lowest.
_BESIDE = 140.0
_EXAMPLES = (78.0, 84.0, 90.0, 96.0, 102.0)
_GAP = 6.0


def draw_taping(
    plan: Plan, frame: Bounds, way: Way, size_pt: float = BODY
) -> tuple[list[Item], float]:
    """Steps from two pages to one, and the reading of the ticks beside or below them.

    Args:
        plan: What is taped; where nothing is, the words say just that.
        frame: Where to draw, from the top.
        way: How the pages are joined.
        size_pt: Type size of the words.

    Returns:
        The items, and the height used.
    """
    column = Column(frame)
    if not plan.joints:
        return draw_steps_alone(plan, frame, way, size_pt)
    column.add(say("tape_title"), LARGE, bold=True, after=2.0)
    rest = column.rest
    if frame.width < _BESIDE:
        words = _steps(rest, way, size_pt)
        help_at = rest._replace(top=words.top - 2.0)
        height = vernier_help_height(help_at.width, way)
        items = [*column.items, *words.items, *draw_vernier_help(help_at, way)]
        return items, frame.top - help_at.top + height
    tried = []
    for wide in _EXAMPLES:
        words = _steps(rest._replace(right=rest.right - wide - _GAP), way, size_pt)
        height = max(vernier_help_height(wide, way), rest.top - words.top)
        tried.append((round(height, 3), wide, words))
    height, wide, words = min(tried, key=lambda each: each[:2])
    examples = draw_vernier_help(rest._replace(left=rest.right - wide), way)
    return [*column.items, *words.items, *examples], frame.top - rest.top + height


def draw_steps_alone(
    plan: Plan, frame: Bounds, way: Way, size_pt: float
) -> tuple[list[Item], float]:
    """The steps without the reading of the ticks, and the height used."""
    column = Column(frame)
    if not plan.joints:
        column.add(say("tape_none"), BODY, bold=True, after=0)
        return column.items, frame.top - column.top
    column.add(say("tape_title"), LARGE, bold=True, after=2.0)
    words = _steps(column.rest, way, size_pt)
    return [*column.items, *words.items], frame.top - words.top


def draw_reading(plan: Plan, frame: Bounds, way: Way) -> tuple[list[Item], float]:
    """The reading of the ticks over the whole width, and the height used."""
    if not plan.joints:
        return [], 0.0
    return draw_vernier_help(frame, way), vernier_help_height(frame.width, way)


def _steps(frame: Bounds, way: Way, size_pt: float) -> Column:
    words = Column(frame)
    for key in (f"tape_{way}_1", f"tape_{way}_2", "tape_3", "tape_4"):
        words.add(say(key), size_pt, after=1.0)
    return words
