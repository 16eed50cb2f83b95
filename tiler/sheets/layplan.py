"""A lay plan as a picture to scale, on one page however long the cloth is.

The length of the cloth runs from left to right, as it lies on a table with the fold towards the
cutter, and goes on in further rows below when that makes everything larger.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.layout.cloth.model import Laid, LayPlan, Need
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import rectangle
from tiler.sheets.clothnames import cloth_words
from tiler.sheets.column import Column
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Use, Words
from tiler.sheets.layplancloth import draw_cloth
from tiler.sheets.layplankey import draw_lay_key
from tiler.sheets.layplanpieces import draw_pieces
from tiler.sheets.layplanrows import Rows, rows_of
from tiler.sheets.layplantold import Told, told_of
from tiler.sheets.layplanwords import buy_words, entries_of, facts_of, nested_in, turns_of
from tiler.sheets.lettering import (
    BODY,
    HEAD,
    LARGE,
    READ,
    SMALL,
    height_of,
    leading_of,
    shortened,
    width_of,
    wrapped,
)
from tiler.sheets.words import say

#: As wide as A4 and as high as Letter (ISO 216; ANSI/ASME Y14.1, from memory), so that it goes on
#: either without being made smaller; and the paper round everything, millimetres.
SHORT, LONG = 210.0, 279.4
EDGE = 10.0
#: Above and below a picture in a text, so that no letter of another typeface is cut, millimetres.
_RIM = 1.5
#: Millimetres after the head, between rows and list, and between the columns of the list.
_AFTER, _GUTTER = 3.0, 6.0
#: What the cloth needs, millimetres; a page with a list of a hundred pieces and more is higher.
_LEAST = 60.0


def lay_plan_page(
    plan: LayPlan,
    needs: Sequence[Need],
    pattern: Pattern,
    *,
    styles: Sequence[str] = (),
    language: str = "en",
) -> Page:
    """The picture as a page of its own.

    Args:
        plan: What to draw.
        needs: What it was laid for.
        pattern: Drafted, with the styles that it was laid for.
        styles: Those styles; empty for all.
        language: Of the words.
    """
    drawing = draw_lay_plan(plan, needs, pattern, styles=styles, language=language)
    width, height = drawing.bounds.width, drawing.bounds.height
    paper = Fill((rectangle(Bounds(0, 0, width, height)),), 1.0)
    return Page("lay plan", width, height, (Group((paper, Use(drawing)), furniture=True),))


def draw_lay_plan(
    plan: LayPlan,
    needs: Sequence[Need],
    pattern: Pattern,
    *,
    styles: Sequence[str] = (),
    language: str = "en",
    within: tuple[float, float] | None = None,
) -> Drawing:
    """The picture, its left edge at 0; upright or lying, whichever is larger.

    Args:
        plan: What to draw.
        needs: What it was laid for.
        pattern: Drafted, with the styles that it was laid for.
        styles: Those styles; empty for all.
        language: Of the words.
        within: The width and the greatest height of its place in a text, millimetres; the text
            then says itself what cloth it is, how much to buy of it, and whose pattern it is. None
            for a page of its own.
    """
    if within:
        size = (within[0], within[1] - 2 * _RIM)
        return _Frame(plan, needs, pattern, tuple(styles), size, language, alone=False).drawing()
    frames = [_Frame(plan, needs, pattern, tuple(styles), size, language) for size in _SIZES]
    # Standing unless lying is plainly better: it is filed with the sheets.
    best = min(frames, key=lambda frame: frame.rows.worth * (1.0 if frame.stands else 1.1))
    return best.drawing()


_SIZES = ((SHORT, LONG), (LONG, SHORT))


@dataclass
class _Frame:
    """A page of one format, with what stands above and below the cloth set already."""

    plan: LayPlan
    needs: Sequence[Need]
    pattern: Pattern
    styles: tuple[str, ...]
    size: tuple[float, float]
    language: str
    alone: bool = True

    def __post_init__(self) -> None:
        self._edge = EDGE if self.alone else 0.0
        self._wide = self.size[0] - 2 * self._edge
        self.rows: Rows = self._rows(scale=10)
        # At another scale the check is told in other words, which may take a line more.
        if self._needs(self.rows.scale) > self._needs(10):
            self.rows = self._rows(self.rows.scale)

    def _needs(self, scale: int) -> float:
        """Millimetres of the height that are not the cloth's."""
        head = self._above(scale)
        return head.frame.top - head.top + self._below(scale)[1] + 2 * _AFTER + 2 * self._edge

    def _rows(self, scale: int) -> Rows:
        """The rows between what stands above and below them at a scale."""
        width, height = self.size
        lacks = max(0.0, _LEAST - height + self._needs(scale))
        self.size = (width, height + lacks)
        high = self.size[1] - self._needs(scale)
        return rows_of(self.plan.parts, self.plan.cloth.across, self._wide, high)

    @property
    def stands(self) -> bool:
        """Whether it is higher than wide."""
        return self.size[1] > self.size[0]

    def drawing(self) -> Drawing:
        """All of it."""
        scale = self.rows.scale
        head = self._above(scale)
        foot, below = self._below(scale)
        items = [*head.items]
        top = head.top - _AFTER
        told = told_of(self.plan, self.needs, self.pattern, self.language)
        items += self._cloth(told, top)
        lower = top - self.rows.height - _AFTER
        under = max(lower, self._edge + below)
        items.append(Group(tuple(foot), at=Affine.move(self._edge, under)))
        width, height = self.size
        # A page has its size; in a text nothing is left free below.
        bottom = 0.0 if self.alone else under - below - _RIM
        height += 0.0 if self.alone else _RIM
        return Drawing(Bounds(0.0, bottom, width, height), tuple(items))

    def _above(self, scale: int) -> Column:
        """Title, whose it is, what to buy, how it lies."""
        column = Column(Bounds(0.0, 0.0, *self.size).grown(-self._edge))
        if self.alone:
            self._title(column)
        nested = nested_in(self.pattern, self.needs)
        key = "lay_styles" if self.styles else "lay_all_styles"
        told = ", ".join(self.styles or nested)
        # In a text the picture is made smaller or larger.
        facts = [*facts_of(self.plan, scale if self.alone else None, self.language)]
        facts += [say(key, self.language, styles=told)] if told else []
        for words in facts:
            column.add(words, BODY, after=0.2)
        return column

    def _title(self, column: Column) -> None:
        name = cloth_words(self.plan.cloth.name, self.language)
        title = say("lay_title", self.language, cloth=name)
        column.add(shortened(title, HEAD, self._wide, bold=True), HEAD, bold=True, after=0.3)
        pattern = self.pattern
        whose = [pattern.title, pattern.maker]
        if pattern.version:
            whose.append(say("lay_version", self.language, version=pattern.version))
        whose.append(say("lay_digest", self.language, digest=pattern.digest))
        column.add(" · ".join(words for words in whose if words), BODY, after=1.6, grey=0.1)
        column.add(buy_words(self.plan, self.language), LARGE, bold=True, after=0.6)

    def _cloth(self, told: dict[Laid, Told], top: float) -> list[Item]:
        """The rows, from a height on downwards."""
        cloth, scale = self.plan.cloth, self.rows.scale
        nap = math.copysign(1.0, sum(each.grain[0] for each in told.values())) if cloth.nap else 0.0
        items: list[Item] = []
        for row in self.rows.rows:
            lower = top - row.down - row.tall / scale
            room = self.rows.free(row, self._wide)
            drawn = draw_cloth(row, self.plan, scale, nap, self.language, room)
            drawn += draw_pieces(row, told, scale, nap=cloth.nap)
            items.append(Group(tuple(drawn), at=Affine.move(self._edge + row.left, lower)))
        return items

    def _below(self, scale: int) -> tuple[list[Item], float]:
        """What to cut, how to read the picture, cautions; and how high all of it is."""
        entries = entries_of(self.plan, self.needs, self.pattern, self.language)
        column = Column(Bounds(0.0, 0.0, self._wide, 0.0))
        column.add(say("lay_list", self.language), READ, bold=True, after=0.6)
        items = [*column.items]
        listed, top = _columns(entries, self._wide, column.top)
        items += listed
        key = draw_lay_key(self.plan, scale, self._wide, self.language)
        items.append(Group(key.items, at=Affine.move(0.0, top - 1.2)))
        last = Column(Bounds(0.0, 0.0, self._wide, top - 1.8 - key.height))
        for words in turns_of(self.plan, self.language):
            last.add(words, SMALL + 1, bold=True, after=0.4)
        if any(laid.opened for part in self.plan.parts for laid in part.laid):
            last.add(say("lay_halves", self.language), SMALL + 1, after=0.4)
        last.add(say("lay_caution", self.language), SMALL + 1, after=0.0)
        return [*items, *last.items], -last.top


def _columns(
    entries: Sequence[tuple[int, str]], wide: float, top: float
) -> tuple[list[Item], float]:
    """Numbered entries in as many columns as their words allow, read downwards."""
    indent = width_of("00", READ, bold=True) + 1.5
    widest = max(width_of(words, READ) for _, words in entries) + indent
    count = max(1, min(3, len(entries), int((wide + _GUTTER) // (widest + _GUTTER))))
    each = (wide + _GUTTER) / count - _GUTTER
    lines = [(number, wrapped(words, READ, each - indent)) for number, words in entries]
    items: list[Item] = []
    lowest = top
    rows = -(-len(lines) // count)
    for start in range(0, len(lines), rows):
        left, down = (start // rows) * (each + _GUTTER), top
        for number, texts in lines[start : start + rows]:
            for index, text in enumerate(texts):
                at = Point(left + indent, down - height_of(READ))
                if index == 0:
                    right = Point(left + indent - 1.5, at.y)
                    items.append(Words(f"{number}", right, READ, "end", bold=True))
                items.append(Words(text, at, READ))
                down -= leading_of(READ)
        lowest = min(lowest, down)
    return items, lowest
