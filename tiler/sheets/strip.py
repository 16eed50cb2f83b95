"""The line of words above the window: what this page is, and how it is printed."""

from __future__ import annotations

from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Words
from tiler.sheets.lettering import SMALL, height_of, shortened, width_of
from tiler.sheets.words import say


def draw_strip(pattern: Pattern, plan: Plan, name: str, number: int, total: int) -> Words:
    """Title, page, its number among all, digest and layout, page coordinates.

    A title that is too long for the line is shortened.

    Args:
        pattern: What is published.
        plan: Where all of it lies.
        name: What the page is called.
        number: Of the page, from 1.
        total: How many pages there are.
    """
    setup = plan.grid.setup
    window = setup.window
    text = say(
        "strip",
        title=pattern.title,
        name=name,
        number=number,
        total=total,
        digest=pattern.digest,
        layout=plan.code,
    )
    over = width_of(text, SMALL) - window.width
    if over > 0:
        title = shortened(pattern.title, SMALL, width_of(pattern.title, SMALL) - over - 1)
        text = text.replace(pattern.title, title, 1)
    at = Point(window.left, setup.printable.top - height_of(SMALL) - 0.2)
    return Words(text, at, SMALL, grey=0.1)
