"""The head of a window: its name, what to do, where in the piece it is, and where to go next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.crosses import Cross
from tiler.layout.mats.stepping import Window
from tiler.layout.mats.windows import Series
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.path import polyline, rectangle
from tiler.pattern.units import format_mm
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import shortened, width_of
from tiler.sheets.projectedmarks import CORNER
from tiler.sheets.projectedpens import ASIDE, READ, Brush, size_of
from tiler.sheets.words import say

#: Height of the head on a mat, and on a small one; and from what height of the mat on, mm.
TALL, FLAT, ROOMY = 44.0, 24.0, 380.0
#: Capitals of the window's name in a tall head, mm.
_NAME = 11.0
#: Widest picture of the piece, as a share of the mat.
_PICTURE = 0.14
_AIR = 8.0
_ARROW = 46.0


@dataclass(frozen=True)
class Heading:
    """What a head says.

    Args:
        name: Of the window.
        next: Name of the first window of the next series; empty after the last.
        foot: Mat, pattern and digest.
        mirrored: Whether pieces are shown from their other side.
    """

    name: str
    next: str
    foot: str
    mirrored: bool = False


def head_of(frame: Bounds, *, flat: bool = False) -> Bounds:
    """The part of the usable rectangle that the head takes, at the side away from the user.

    Args:
        frame: The usable rectangle, mm.
        flat: Whether it has one line even where there is room for two.
    """
    tall = TALL if frame.height >= ROOMY and not flat else FLAT
    return Bounds(frame.left, frame.top - tall, frame.right, frame.top)


def draw_head(
    heading: Heading,
    series: Series,
    window: Window,
    crosses: Sequence[Cross],
    cloth: BaseGeometry,
    head: Bounds,
    brush: Brush,
) -> list[Item]:
    """The head.

    Args:
        heading: What it says.
        series: Of which it is a window.
        window: The one that is shown.
        crosses: All of the series.
        cloth: Of all its pieces, on the cloth.
        head: Where it is, mat coordinates.
        brush: The pens.
    """
    inner = head.grown(-_AIR / 2)
    items: list[Item] = []
    # Beside the corner angles, not in them.
    left, right = head.left + CORNER + _AIR / 2, head.right - CORNER - _AIR / 2
    if len(series.windows) > 1:
        items += _picture(series, window, cloth, inner, left, brush)
        left += _extent(series, inner).width + 2 * _AIR
    follower = next((w for w in series.windows if w.number == window.number + 1), None)
    if head.height >= TALL:
        aside = size_of(ASIDE)
        upper, lower = inner.top - _NAME - 2.0, inner.bottom + 4.0
        foot = shortened(heading.foot, aside, (right - left) / 2)
        items.append(Words(foot, Point(right, upper + 2), aside, anchor="end", grey=0.35))
        # The name comes first: it may take all the room that the foot leaves.
        room = right - left - width_of(foot, aside) - _AIR
        name = shortened(heading.name, size_of(_NAME), room, bold=True)
        items.append(Words(name, Point(left, upper), size_of(_NAME), bold=True))
        if follower:
            items += _way(window, follower, Point(right, lower + READ / 2))
            right -= _ARROW + 2 * _AIR
        items.append(_told(heading, window, follower, crosses, left, right, lower))
        return items
    base = head.centre.y - READ / 2
    told = say_next(heading, window, follower, crosses, short=True)
    items.append(Words(heading.name, Point(left, base), size_of(READ), bold=True))
    left += width_of(heading.name, size_of(READ), bold=True) + 2 * _AIR
    if follower:
        items += _way(window, follower, Point(right, head.centre.y))
        right -= _ARROW + _AIR
    items.append(Words(*_fitted((told,), right - left, Point(left, base))))
    return items


def say_next(
    heading: Heading,
    window: Window,
    follower: Window | None,
    crosses: Sequence[Cross],
    *,
    short: bool = False,
) -> str:
    """What to do at a window, in one line."""
    arrive = ", ".join(c.letter for c in crosses if c.second == window.number)
    leave = ", ".join(c.letter for c in crosses if c.first == window.number)
    # Where it may be cut short, the warning comes first.
    parts = [say("window_mirrored_short")] if heading.mirrored and short else []
    if arrive:
        parts.append(say("window_arrive_short" if short else "window_arrive", letters=arrive))
    if follower and short:
        parts.append(say("window_leave_short", letters=leave))
    elif follower:
        way, by = shift_words(window, follower)
        key = "window_leave" if arrive else "window_leave_first"
        parts.append(say(key, letters=leave, way=way, by=by))
    elif heading.next:
        parts.append(say("window_last", name=heading.next))
    else:
        parts.append(say("window_end"))
    if heading.mirrored and not short:
        parts.append(say("window_mirrored"))
    told = (" · " if short else " ").join(parts)
    return told[:1].upper() + told[1:]


def shift_words(window: Window, follower: Window) -> tuple[str, str]:
    """Where the cloth moves and how far: against the step of the windows."""
    across = follower.lies.left - window.lies.left
    up = follower.lies.bottom - window.lies.bottom
    if follower.row == window.row:
        return say("window_left" if across > 0 else "window_right"), format_mm(abs(across), 0)
    return say("window_down" if up > 0 else "window_up"), format_mm(abs(up), 0)


def _told(
    heading: Heading,
    window: Window,
    follower: Window | None,
    crosses: Sequence[Cross],
    left: float,
    right: float,
    base: float,
) -> Words:
    texts = [say_next(heading, window, follower, crosses, short=short) for short in (False, True)]
    return Words(*_fitted(texts, right - left, Point(left, base)))


def _fitted(texts: Sequence[str], room: float, at: Point) -> tuple[str, Point, float]:
    """The first text that fits in readable letters, or the last one as large as it fits."""
    for text in texts:
        if width_of(text, size_of(READ)) <= room:
            return text, at, size_of(READ)
    last = texts[-1]
    size = max(size_of(ASIDE), size_of(READ) * room / width_of(last, size_of(READ)))
    return shortened(last, size, max(room, 1.0)), at, size


def _way(window: Window, follower: Window, end: Point) -> list[Item]:
    """A broad arrow that points where the cloth moves; its right end at a point."""
    x, y = end.x - _ARROW / 2, end.y
    long, wide = _ARROW / 2, 8.0
    if follower.row == window.row:
        turn = 180.0 if follower.lies.left > window.lies.left else 0.0
    else:
        turn = -90.0 if follower.lies.bottom > window.lies.bottom else 90.0
        long, wide = 9.0, 7.0
    neck = long - 1.6 * wide
    shape = [
        Point(-long, -2.5),
        Point(neck, -2.5),
        Point(neck, -wide),
        Point(long, 0),
        Point(neck, wide),
        Point(neck, 2.5),
        Point(-long, 2.5),
    ]
    at = Affine.turn(turn).then(Affine.move(x, y))
    return [Fill((polyline([at(point) for point in shape], closed=True),), 0.0)]


def _extent(series: Series, inner: Bounds) -> Bounds:
    """The picture's size, lower left at the origin."""
    all_of_it = bounds_of([window.lies for window in series.windows])
    scale = min(inner.height / all_of_it.height, _PICTURE * inner.width * 2 / all_of_it.width)
    return Bounds(0, 0, all_of_it.width * scale, all_of_it.height * scale)


def _picture(
    series: Series, window: Window, cloth: BaseGeometry, inner: Bounds, left: float, brush: Brush
) -> list[Item]:
    """The pieces small, and the windows over them; the present one strong."""
    all_of_it = bounds_of([each.lies for each in series.windows])
    extent = _extent(series, inner)
    scale = extent.width / all_of_it.width
    at = Affine.move(-all_of_it.left, -all_of_it.bottom).then(
        Affine(scale, 0, 0, scale, left, inner.centre.y - extent.height / 2)
    )
    small = shapely.get_parts(cloth.simplify(0.5 / scale))
    rings = [
        polyline([at(Point(*point)) for point in part.exterior.coords], closed=True)
        for part in small
        if isinstance(part, shapely.Polygon)
    ]
    items: list[Item] = [Fill(tuple(rings), 0.55)]
    for each in series.windows:
        box = rectangle(each.lies.moved(at))
        items.append(Stroke((box,), brush.faint))
    now = window.lies.moved(at)
    items.append(Stroke((rectangle(now),), Pen(max(brush.least, 2.0))))
    size = size_of(max(ASIDE, min(READ, now.height * 0.5)))
    spot = Point(now.centre.x, now.centre.y - now.height * 0.2)
    items.append(Words(str(window.number), spot, size, anchor="middle", bold=True))
    return items
