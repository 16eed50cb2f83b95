"""How to read a lay plan: samples of what is on it, and of nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import shapely

from tiler.layout.cloth.model import LayPlan
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Group, Item, Stroke, Words
from tiler.sheets.layplancloth import CHECK, TINT, lines_apart
from tiler.sheets.layplanpieces import HATCH, ON_FOLD, OUTLINE, hatched
from tiler.sheets.layplanwords import number, size_of_repeat
from tiler.sheets.lettering import BODY, height_of, leading_of, width_of, wrapped
from tiler.sheets.pens import GRAIN
from tiler.sheets.words import say

#: Size of a sample, from it to its words, from entry to entry; millimetres.
_WIDE, _HIGH, _AIR, _NEXT = 11.0, 4.2, 1.8, 6.0


@dataclass(frozen=True)
class Key:
    """Samples with words, down from the top of a frame; `height` in millimetres."""

    items: tuple[Item, ...]
    height: float


def draw_lay_key(plan: LayPlan, scale: int, width: float, language: str) -> Key:
    """The key, its left upper corner at the origin.

    Args:
        plan: What is drawn.
        scale: 1 : `scale`.
        width: Of the frame.
    """
    items: list[Item] = []
    left, top = 0.0, 0.0
    line = max(_HIGH, leading_of(BODY)) + 1.2
    for sample, words in _entries(plan, scale, language):
        takes = _WIDE + _AIR + width_of(words, BODY)
        if left and left + takes > width:
            left, top = 0.0, top - line
        at = Affine.move(left, top - _HIGH)
        items.append(Group(tuple(sample()), at=at))
        down = (_HIGH - height_of(BODY)) / 2
        for index, text in enumerate(wrapped(words, BODY, width - left - _WIDE - _AIR)):
            top -= leading_of(BODY) if index else 0.0
            items.append(Words(text, Point(left + _WIDE + _AIR, top - _HIGH + down), BODY))
        left += takes + _NEXT
    return Key(tuple(items), line - top)


def _entries(
    plan: LayPlan, scale: int, language: str
) -> Iterator[tuple[Callable[[], Iterator[Item]], str]]:
    laid = [each for part in plan.parts for each in part.laid]
    cloth = plan.cloth
    if any(each.mirrored for each in laid):
        yield _up, say("lay_read_up", language)
        yield _down, say("lay_read_down", language)
    if any(each.on_fold for each in laid):
        yield _fold, say("lay_read_fold", language)
    if cloth.nap:
        yield lambda: _grain(both=False), say("lay_read_nap", language)
    if cloth.tilt:
        words = say("lay_read_tilt", language, degrees=number(f"{cloth.tilt:g}", language))
        yield lambda: _grain(both=not cloth.nap), words
    elif not cloth.nap:
        yield lambda: _grain(both=True), say("lay_read_grain", language)
    if any(cloth.repeat):
        size = size_of_repeat(cloth.repeat, language)
        times = lines_apart(cloth.repeat, scale)
        key = "lay_read_check" if times == 1 else "lay_read_checks"
        yield lambda: _check(cloth.repeat), say(key, language, size=size, times=times)


_BOX = Bounds(0.0, 0.0, _WIDE, _HIGH)


def _up() -> Iterator[Item]:
    yield Fill((rectangle(_BOX),), 1.0)
    yield Stroke((rectangle(_BOX),), OUTLINE)


def _down() -> Iterator[Item]:
    yield Fill((rectangle(_BOX),), 1.0)
    yield Stroke(tuple(hatched(shapely.box(*_BOX))), HATCH)
    yield Stroke((rectangle(_BOX),), OUTLINE)


def _fold() -> Iterator[Item]:
    yield from _up()
    yield Stroke((polyline([Point(0.0, 0.0), Point(_WIDE, 0.0)]),), ON_FOLD)


def _grain(*, both: bool) -> Iterator[Item]:
    tail, tip = Point(0.0, _HIGH / 2), Point(_WIDE, _HIGH / 2)
    yield Stroke((polyline([tail, tip]),), GRAIN)
    yield arrowhead(tip, (1.0, 0.0), 3.0)
    if both:
        yield arrowhead(tail, (-1.0, 0.0), 3.0)


def _check(repeat: tuple[float, float]) -> Iterator[Item]:
    yield Fill((rectangle(_BOX),), TINT)
    along, across = repeat
    lines = []
    if along:
        places = [_WIDE * part / 4 for part in (0.5, 1.5, 2.5, 3.5)]
        lines += [polyline([Point(x, 0.0), Point(x, _HIGH)]) for x in places]
    if across:
        places = [_HIGH * part / 2 for part in (0.5, 1.5)]
        lines += [polyline([Point(0.0, y), Point(_WIDE, y)]) for y in places]
    yield Stroke(tuple(lines), CHECK)
