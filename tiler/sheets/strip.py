"""The line of words above the window: what this page is, and how it is printed."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tiler.layout.plan import Plan
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Drawing, Item, Use, Words
from tiler.sheets.lettering import SMALL, depth_of, height_of, shortened, width_of
from tiler.sheets.words import say

#: Stand in for a page's name and number while the words around them are found.
_NAME, _NUMBER = "\x01", "\x02"
_GREY = 0.1


class Strip:
    """The line of words of every page of a publication.

    What all pages have in common is drawn once.

    Args:
        pattern: What is published.
        plan: Where all of it lies.
        total: How many pages there are.
    """

    def __init__(self, pattern: Pattern, plan: Plan, total: int) -> None:
        setup = plan.grid.setup
        self._pattern, self._plan, self._total = pattern, plan, total
        self._start = Point(setup.window.left, setup.printable.top - height_of(SMALL) - 0.2)
        self._room = setup.window.width
        self._parts: dict[str, tuple[str, str, str]] = {}
        self._drawings: dict[str, Drawing] = {}

    def draw(self, name: str, number: int) -> list[Item]:
        """Title, page, its number among all, digest and layout, page coordinates.

        A title that is too long for the line is shortened.

        Args:
            name: What the page is called.
            number: Of the page, from 1.
        """
        title = self._pattern.title
        before, between, after = self._around(title)
        middle = between.replace(_NAME, name).replace(_NUMBER, str(number))
        over = width_of(before + middle + after, SMALL) - self._room
        if over > 0:
            title = shortened(title, SMALL, width_of(title, SMALL) - over - 1)
            before, _, after = self._around(title)
        return list(self._set(before, middle, after))

    def _around(self, title: str) -> tuple[str, str, str]:
        """The words before, between and after what is different on each page."""
        if title not in self._parts:
            printer = self._plan.grid.setup.printer
            text = say(
                "strip_printer" if printer else "strip",
                printer=printer.name if printer else "",
                title=title,
                name=_NAME,
                number=_NUMBER,
                total=self._total,
                digest=self._pattern.digest,
                layout=self._plan.code,
            )
            own = re.search(f"[{_NAME}{_NUMBER}].*[{_NAME}{_NUMBER}]", text, re.DOTALL)
            assert own is not None
            self._parts[title] = text[: own.start()], own[0], text[own.end() :]
        return self._parts[title]

    def _set(self, before: str, middle: str, after: str) -> Iterator[Item]:
        """All of them in one line."""
        x, y = self._start
        yield Use(self._drawing(before), Affine.move(x, y))
        x += width_of(before, SMALL)
        yield Words(middle, Point(x, y), SMALL, grey=_GREY)
        x += width_of(middle, SMALL)
        yield Use(self._drawing(after), Affine.move(x, y))

    def _drawing(self, text: str) -> Drawing:
        if text not in self._drawings:
            width = max(width_of(text, SMALL), 0.1)
            # Letters with accents stand higher than capitals.
            bounds = Bounds(0.0, -depth_of(SMALL), width, 2 * height_of(SMALL)).grown(0.5)
            words = Words(text, Point(0.0, 0.0), SMALL, grey=_GREY)
            self._drawings[text] = Drawing(bounds, (words,) if text else ())
        return self._drawings[text]
