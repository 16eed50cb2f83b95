"""The first picture of a set: cautions, whether it is true to size, and how to go on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.pattern.units import format_inch, format_mm
from tiler.sheets.drawing import Group, Item, Stroke, Words
from tiler.sheets.lettering import height_of, leading_of, wrapped
from tiler.sheets.projected import Setting, View
from tiler.sheets.projectedmarks import draw_corners, draw_square, draw_squares, squares_size
from tiler.sheets.projectedpens import READ, size_of
from tiler.sheets.words import say

#: Capitals of the running text, the largest that fits, mm.
_CAPITALS = (11.0, 10.0, 9.0, READ, 7.0, 6.0, 5.0, 4.0, 3.2, 2.6, 2.0)
_AIR = 16.0
#: Widest lines of running text, mm.
_WIDEST = 620.0


@dataclass(frozen=True)
class Promise:
    """What is known of a set before it is shown.

    Args:
        mat: Name of the mat.
        windows: How many there are.
        error: The expected error at the worst corner, mm.
    """

    mat: str
    windows: int
    error: float


def draw_start(setting: Setting, promise: Promise) -> View:
    """The first picture, mat coordinates.

    Args:
        setting: Pattern, mat and pens.
        promise: What is known of the set.
    """
    frame, brush = setting.frame, setting.brush
    air = min(_AIR, frame.height / 16)
    inner = frame.grown(-air)
    width, height = squares_size()
    items: list[Item] = [Stroke((rectangle(frame),), brush.faint), *draw_corners(frame, brush)]
    if inner.width - width > 2.2 * width:
        items += draw_squares(Point(inner.right - width, inner.bottom), brush)
        room = inner.width - width - 2 * air
    else:
        # One above the other, on a small mat.
        side = height
        metric = Point(inner.right - side, inner.bottom + side + air / 2)
        if 2 * side + air / 2 <= inner.height:
            items += draw_square(metric, 100.0, say("window_square"), brush)
        items += draw_square(
            Point(inner.right - side, inner.bottom), side, say("window_square_inch"), brush
        )
        room = inner.width - side - 2 * air
    items += _text(setting, promise, Bounds(inner.left, inner.bottom, inner.left + room, inner.top))
    return View(
        say("window_start"), (Group(tuple(items), furniture=True, window=setting.shown),), ()
    )


def _text(setting: Setting, promise: Promise, room: Bounds) -> list[Item]:
    """All words in the largest letters that fit; the cautions first."""
    for capitals in _CAPITALS:
        items, bottom = _set(_paragraphs(setting, promise), capitals, room)
        if bottom >= room.bottom:
            return items
    raise AssertionError("the words of the first picture do not fit on the mat")


def _set(
    paragraphs: Sequence[tuple[str, float, bool]], capitals: float, room: Bounds
) -> tuple[list[Item], float]:
    items: list[Item] = []
    down = room.top
    for text, share, bold in paragraphs:
        size = size_of(capitals * share)
        if bold:
            down -= 0.7 * capitals
        widest = min(room.width, _WIDEST * capitals * share / READ)
        for line in wrapped(text, size, widest, bold=bold):
            down -= height_of(size)
            items.append(Words(line, Point(room.left, down), size, bold=bold))
            down -= leading_of(size) - height_of(size)
        down -= 0.35 * capitals
    return items, down


def _paragraphs(setting: Setting, promise: Promise) -> list[tuple[str, float, bool]]:
    """Text, size as a share of the running text, and whether it is bold."""
    frame = setting.frame
    many = promise.windows != 1
    windows = say("begin_windows" if many else "begin_window", count=promise.windows)
    about = say("begin_about", windows=windows, mat=promise.mat, digest=setting.pattern.digest)
    check = say(
        "begin_check",
        width=_length(frame.width),
        height=_length(frame.height),
        diagonal=_length(math.hypot(frame.width, frame.height)),
    )
    steps = ["begin_step_1", "begin_step_2", "begin_step_3"]
    steps += ["begin_step_mirrored"] if setting.mirrored else []
    return [
        (setting.pattern.title, 1.6, True),
        (about, 0.75, False),
        (say("begin_care_title"), 1.0, True),
        (say("begin_care"), 1.0, False),
        (say("begin_check_title"), 1.0, True),
        (check, 1.0, False),
        (say("begin_error", error=format_mm(promise.error)), 1.0, False),
        (say("begin_step_title"), 1.0, True),
        *((say(step), 1.0, False) for step in steps),
    ]


def _length(length: float) -> str:
    return f"{format_mm(length)} ({format_inch(length, 16)})"
