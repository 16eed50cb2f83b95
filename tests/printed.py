"""What really ends up on a page: every word with its ink, every line with its width, page mm.

The ink of words is measured with the typeface itself through Pillow, which shares no code with
the writer of the pages.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path as File
from typing import Any

import shapely
from PIL import ImageFont
from shapely.geometry.base import BaseGeometry

import tiler.sheets
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Page, Pen, Stroke, Use, Words

_FONTS = File(tiler.sheets.__file__).parent / "fonts"
_EM = 1000


@cache
def face(bold: bool, size: int = _EM) -> ImageFont.FreeTypeFont:
    """The shipped face, `size` dots to the em, without kerning."""
    name = "NotoSans-Bold.ttf" if bold else "NotoSans-Regular.ttf"
    return ImageFont.truetype(_FONTS / name, size, layout_engine=ImageFont.Layout.BASIC)


@cache
def _glyph(letter: str, bold: bool) -> tuple[tuple[float, float, float, float] | None, float]:
    """Ink of one letter (left, bottom, right, top; None for a blank) and its advance."""
    font = face(bold)
    mask, (x, y) = font.getmask2(letter, mode="L", anchor="ls")
    box = mask.getbbox()
    ink = box and ((x + box[0]) / _EM, -(y + box[3]) / _EM, (x + box[2]) / _EM, -(y + box[1]) / _EM)
    return ink, font.getlength(letter) / _EM


@cache
def ink_of(text: str, bold: bool) -> tuple[float, float, float, float, float]:
    """Left, bottom, right, top of the ink and the advance, all for a type size of 1."""
    pen = 0.0
    boxes = []
    for letter in text:
        ink, advance = _glyph(letter, bold)
        if ink:
            boxes.append((ink[0] + pen, ink[1], ink[2] + pen, ink[3]))
        pen += advance
    if not boxes:
        return 0.0, 0.0, pen, 0.0, pen
    left, bottom, right, top = zip(*boxes, strict=True)
    return min(left), min(bottom), max(right), max(top), pen


@dataclass(frozen=True)
class PrintedWords:
    """One line of text on a page.

    Args:
        text: What it says.
        size_pt: The size at which it is printed, all transforms included.
        ink: The upright or turned rectangle round its ink, clipping left aside.
        window: What it is clipped to; None when nothing clips it.
        layer: The layer that it belongs to; empty for the page's own words.
        bold: Whether it is set in the bold face.
        beside: The layer of page marks or of words that it stands in; empty for none.
    """

    text: str
    size_pt: float
    ink: shapely.Polygon
    window: Bounds | None
    layer: str
    bold: bool
    beside: str = ""

    @cached_property
    def seen(self) -> BaseGeometry:
        """The part of the rectangle that is printed."""
        return self.ink if self.window is None else self.ink & shapely.box(*self.window)

    @property
    def whole(self) -> bool:
        """Whether nothing of it is cut off."""
        return self.window is None or shapely.box(*self.window).covers(self.ink)


@dataclass(frozen=True)
class PrintedLine:
    """One path on a page, its pen, its clip and its layer."""

    path: Path
    pen: Pen
    window: Bounds | None
    layer: str
    furniture: bool
    beside: str = ""

    @property
    def pattern(self) -> bool:
        """Whether it is a line of the pattern and no mark of the page."""
        return bool(self.layer) and not self.furniture

    @cached_property
    def ink(self) -> BaseGeometry:
        """The area it covers, dashes taken as solid."""
        line = shapely.LineString(self.path.flattened(0.02))
        shape = line.buffer(self.pen.width / 2)
        return shape if self.window is None else shape & shapely.box(*self.window)


@dataclass(frozen=True)
class PrintedFill:
    """One filled area on a page."""

    ink: BaseGeometry
    grey: float


_STILL = Affine()


@dataclass(frozen=True)
class _State:
    at: Affine = _STILL
    window: Bounds | None = None
    layer: str = ""
    furniture: bool = False
    beside: str = ""


Thing = PrintedWords | PrintedLine | PrintedFill
#: What was found on the pages that were looked at last, and those pages, so that no other takes
#: the place that names one.
_found: dict[int, tuple[Page, tuple[Thing, ...]]] = {}
_KEPT = 300


def everything_on(page: Page) -> tuple[Thing, ...]:
    """All that a page prints, from back to front.

    Many tests look at the same pages of a demo, each for another thing, so it is kept for a while.
    """
    if id(page) not in _found:
        if len(_found) >= _KEPT:
            del _found[next(iter(_found))]
        _found[id(page)] = page, tuple(_walk(page.items, _State()))
    return _found[id(page)][1]


def words_on(page: Page) -> list[PrintedWords]:
    """The words on a page of which something is seen."""
    found = [thing for thing in everything_on(page) if isinstance(thing, PrintedWords)]
    return [words for words in found if not words.seen.is_empty]


def lines_on(page: Page) -> list[PrintedLine]:
    """The lines on a page."""
    return [thing for thing in everything_on(page) if isinstance(thing, PrintedLine)]


def fills_on(page: Page) -> list[PrintedFill]:
    """The filled areas on a page."""
    return [thing for thing in everything_on(page) if isinstance(thing, PrintedFill)]


def groups_on(page: Page, fact: str) -> list[Group]:
    """The page's own groups that carry a fact of that name, wherever they are drawn from.

    Their items are in page coordinates, and they carry the facts of the groups around them too.
    """
    return [
        item
        for item in _placed(page.items, _STILL, ())
        if isinstance(item, Group) and any(name == fact for name, _ in item.facts)
    ]


def uses_on(page: Page, *drawings: Drawing) -> list[Affine]:
    """Where a page uses one of some drawings, within others too."""
    return [
        item.at
        for item in _placed(page.items, _STILL, ())
        if isinstance(item, Use) and any(item.drawing is drawing for drawing in drawings)
    ]


def _placed(items: tuple[Item, ...], at: Affine, facts: tuple[Any, ...]) -> Iterator[Item]:
    """Every group and every used drawing, in page coordinates."""
    for item in items:
        if isinstance(item, Group):
            inner = item.at.then(at) if item.at else at
            said = (*facts, *item.facts)
            moved = tuple(_moved(part, inner) for part in item.items)
            yield replace(item, items=moved, at=None, facts=said)
            yield from _placed(item.items, inner, said)
        elif isinstance(item, Use):
            yield replace(item, at=item.at.then(at))
            yield from _placed(item.drawing.items, item.at.then(at), facts)


def _moved(item: Item, at: Affine) -> Item:
    if isinstance(item, Stroke | Fill):
        return replace(item, paths=tuple(path.moved(at) for path in item.paths))
    if isinstance(item, Words):
        turn = math.degrees(math.atan2(at.b, at.a))
        return replace(item, at=at(item.at), turn=item.turn + turn)
    return replace(item, at=(item.at or _STILL).then(at))


def _walk(
    items: tuple[Item, ...], state: _State
) -> Iterator[PrintedWords | PrintedLine | PrintedFill]:
    for item in items:
        if isinstance(item, Stroke):
            for path in item.paths:
                factor = math.sqrt(abs(state.at.determinant))
                pen = Pen(item.pen.width * factor, item.pen.grey, item.pen.dash)
                moved = path.moved(state.at)
                layer, furniture = state.layer, state.furniture
                yield PrintedLine(moved, pen, state.window, layer, furniture, state.beside)
        elif isinstance(item, Fill):
            for path in item.paths:
                shape = shapely.Polygon(path.moved(state.at).flattened(0.05))
                yield PrintedFill(_cut(shape, state.window), item.grey)
        elif isinstance(item, Words):
            yield _words(item, state)
        elif isinstance(item, Group):
            window = _both(state, item.window)
            at = item.at.then(state.at) if item.at else state.at
            furniture = state.furniture or item.furniture
            # Marks and words have layers of their own, besides those of pieces and styles.
            own = " + ".join(item.layers)
            beside = own if own and item.furniture else state.beside
            layer = state.layer if item.furniture else _behind(state.layer, own)
            yield from _walk(item.items, _State(at, window, layer, furniture, beside))
        else:
            assert isinstance(item, Use)
            layer = _layer_in(item, state.layer)
            at = item.at.then(state.at)
            inner = _State(at, state.window, layer, state.furniture, state.beside)
            yield from _walk(item.drawing.items, inner)


def _layer_in(use: Use, outer: str) -> str:
    """The layer of a drawing, behind those that it stands in: ``Brim · narrow``."""
    drawing = use.drawing
    return _behind(outer, drawing.layer or " + ".join(drawing.any_of))


def _behind(outer: str, own: str) -> str:
    return " · ".join(name for name in (outer, own) if name)


def _both(state: _State, window: Bounds | None) -> Bounds | None:
    if window is None:
        return state.window
    here = window.moved(state.at)
    if state.window is None:
        return here
    a, b = state.window, here
    return Bounds(
        max(a.left, b.left), max(a.bottom, b.bottom), min(a.right, b.right), min(a.top, b.top)
    )


def _cut(shape: BaseGeometry, window: Bounds | None) -> BaseGeometry:
    return shape if window is None else shape & shapely.box(*window)


def _words(words: Words, state: _State) -> PrintedWords:
    left, bottom, right, top, advance = ink_of(words.text, words.bold)
    size = words.size_pt / 72 * 25.4
    shift = {"start": 0.0, "middle": -advance / 2, "end": -advance}[words.anchor]
    frame = (
        Affine.scale(size, size)
        .then(Affine.turn(words.turn))
        .then(Affine.move(*words.at))
        .then(state.at)
    )
    corners = Bounds(left + shift, bottom, right + shift, top).corners()
    ink = shapely.Polygon([frame(Point(*corner)) for corner in corners])
    size_pt = words.size_pt * math.sqrt(abs(state.at.determinant))
    layer, beside = state.layer, state.beside
    return PrintedWords(words.text, size_pt, ink, state.window, layer, words.bold, beside)
