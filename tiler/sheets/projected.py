"""What a projector shows on the mat, window by window, in millimetres of the mat.

Drawn dark on light as on paper; whoever makes pixels of it may turn that round.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.crosses import Cross, crosses_of
from tiler.layout.mats.stepping import Window
from tiler.layout.mats.turning import Laid
from tiler.layout.mats.windows import Series, Shown, regrouped, series_of, shown_in, to_mat
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Lies, Pattern
from tiler.sheets.drawing import Group, Item
from tiler.sheets.projectedhead import Heading, draw_head, head_of
from tiler.sheets.projectedlabel import (
    label_beside,
    label_on,
    label_under,
    line_words,
    name_on,
    room_of,
)
from tiler.sheets.projectedmarks import (
    crosses_taken,
    draw_corners,
    draw_cross,
    place_squares,
)
from tiler.sheets.projectedpens import Brush
from tiler.sheets.projectedpiece import cloth_of, drawn_on, grain_heads, lines_on, projected_lines
from tiler.sheets.room import Room, as_line
from tiler.sheets.words import say

#: Between the frame and what is shown of the pieces, mm.
INSET = 6.0
#: What is measured keeps so far from the frame's corners, mm.
_CLEAR = 12.0


@dataclass(frozen=True)
class Setting:
    """What all windows of a set share.

    Args:
        pattern: As it comes to paper.
        frame: The usable rectangle of the mat, mm.
        brush: The pens.
        foot: Mat, pattern and digest.
        mirrored: Whether pieces are shown from their other side.
        flat: Whether the head of each window has one line, which leaves more room for pieces.
    """

    pattern: Pattern
    frame: Bounds
    brush: Brush
    foot: str
    mirrored: bool = False
    flat: bool = False

    @property
    def shown(self) -> Bounds:
        """The usable rectangle with the lines along its sides."""
        return self.frame.grown(self.brush.line)

    @property
    def head(self) -> Bounds:
        """Where each window says what it is."""
        return head_of(self.frame, flat=self.flat)

    @property
    def field(self) -> Bounds:
        """The part of the mat that shows pieces."""
        left, bottom, right, _ = self.frame.grown(-INSET)
        return Bounds(left, bottom, right, self.head.bottom)

    @property
    def free(self) -> Bounds:
        """The part of it that is clear of the frame's corners."""
        left, bottom, right, top = self.field
        return Bounds(left + _CLEAR, bottom + _CLEAR, right - _CLEAR, top)


@dataclass(frozen=True)
class View:
    """One window as it is shown.

    Args:
        name: Such as ``Front 2 of 3``.
        items: Mat coordinates.
        shown: The pieces and where they lie on the mat.
    """

    name: str
    items: tuple[Item, ...]
    shown: tuple[Shown, ...]


def foot_of(mat: str, pattern: Pattern) -> str:
    """What a window says of where it belongs."""
    return say("window_foot", mat=mat, title=pattern.title, digest=pattern.digest)


def arranged(laid: Sequence[Laid], setting: Setting, *, one_by_one: bool = False) -> list[Series]:
    """The windows for all units; a small piece gets room for its words under it where needed.

    Args:
        laid: Every unit, its box at the origin.
        setting: Pattern, mat and pens.
        one_by_one: Whether each unit gets windows of its own.
    """
    field = setting.field
    roomy, alone = [], []
    for each in laid:
        fits = each.box.width <= field.width and each.box.height <= field.height
        worded = _with_words(each, setting) if fits else each
        if worded.box.width > field.width or worded.box.height > field.height:
            # Words beside a piece are understood where no other piece is near.
            worded = each
            alone.append(each.name)
        roomy.append(worded)
    return series_of(roomy, field, one_by_one=one_by_one, alone=alone)


def _with_words(laid: Laid, setting: Setting) -> Laid:
    _, box = _labels(laid, STILL, setting)
    return regrouped(laid, box)


def _labels(
    laid: Laid, by: Affine, setting: Setting, room: Room | None = None
) -> tuple[list[Item], Bounds]:
    """The words of a unit that is seen whole, and what it takes with them.

    Args:
        laid: The unit.
        by: From its cloth to the mat.
        setting: Pattern, mat and pens.
        room: What is on the mat; None while nobody knows yet where on the mat it comes to lie.
    """
    at, field = laid.at.then(by), setting.field if room else None
    lines = [line for piece in laid.pieces for line in lines_on(piece, at)]
    room = room or Room([drawn for piece in laid.pieces for drawn in drawn_on(piece, at)])
    box = Bounds(*shapely.union_all(lines).bounds).grown(setting.brush.line)
    everywhere = box.grown(1000.0)
    items: list[Item] = []
    for piece in laid.pieces:
        shown = Shown(piece, at)
        words = label_on(shown, setting.pattern, room, everywhere)
        if not words and len(laid.pieces) > 1:
            # Of two that are joined, words under both do not say which is which.
            items += name_on(shown, room, everywhere)
        words = words or label_under(shown, setting.pattern, room, box, field)
        words = words or label_beside(shown, setting.pattern, room, field or everywhere)
        words = words or name_on(shown, room, everywhere)
        box = room_of(words, box)
        items += words
    return items, box


def views(series: Sequence[Series], setting: Setting) -> list[View]:
    """Every window of every series, in the order in which they are shown.

    Args:
        series: As `arranged` gives them.
        setting: Pattern, mat and pens.
    """
    names = [[_name(each, window) for window in each.windows] for each in series]
    found = []
    for number, each in enumerate(series):
        follower = names[number + 1][0] if number + 1 < len(series) else ""
        lines, cloth = _cloth(each)
        crosses = crosses_of(each, lines, cloth, _folds(each))
        for window, name in zip(each.windows, names[number], strict=True):
            heading = Heading(name, follower, setting.foot, setting.mirrored)
            found.append(_view(each, window, heading, crosses, cloth, setting))
    return found


def caption(series: Series) -> str:
    """What a series is called: its piece or two, or the first of several and how many more."""
    first, *others = series.laid
    if len(others) < 2:
        return series.name
    return say("window_several", first=first.name, count=len(others))


def _name(series: Series, window: Window) -> str:
    total = len(series.windows)
    if total == 1:
        return caption(series)
    return say("window_part", name=caption(series), number=window.number, total=total)


def _cloth(series: Series) -> tuple[BaseGeometry, BaseGeometry]:
    """All lines of a series, and the cloth of its pieces."""
    parts = [(piece, laid.at) for laid in series.laid for piece in laid.pieces]
    lines = [line for piece, at in parts for line in lines_on(piece, at)]
    return shapely.union_all(lines), shapely.union_all([cloth_of(*part) for part in parts])


def _folds(series: Series) -> BaseGeometry:
    """The edges of a series that lie on the fold of the cloth."""
    edges = (
        as_line(run.edge.path, laid.at)
        for laid in series.laid
        for piece in laid.pieces
        for run in piece.runs
        if run.edge.lies is Lies.FOLD
    )
    return shapely.union_all(list(edges))


def _view(
    series: Series,
    window: Window,
    heading: Heading,
    crosses: Sequence[Cross],
    cloth: BaseGeometry,
    setting: Setting,
) -> View:
    field, brush, by = setting.field, setting.brush, to_mat(window, setting.field)
    shown = shown_in(series, window, field)
    order = tuple(name for name, _ in setting.pattern.styles)
    strokes: list[Item] = []
    for each in shown:
        strokes += projected_lines(each, order, brush, field)
    room = Room([drawn for each in shown for drawn in drawn_on(each.piece, each.at)])
    here = [c for c in crosses if window.number in (c.first, c.second)]
    for box in crosses_taken(here, by):
        room.take(box)
    words: list[Item] = []
    for each in shown:
        words += line_words(each, room, field)
    if len(series.windows) == 1:
        for laid in series.laid:
            words += _labels(laid, by, setting, room)[0]
    else:
        for each in shown:
            words += (
                label_on(each, setting.pattern, room, field)
                or label_beside(each, setting.pattern, room, field)
                or name_on(each, room, field)
            )
    on_mat = shapely.affinity.translate(cloth, by.e, by.f)
    marks: list[Item] = []
    lines = shapely.union_all([line for each in shown for line in lines_on(each.piece, each.at)])
    for cross in here:
        marks += draw_cross(cross, by, brush, lines, ringed=cross.second == window.number)
    for each in shown:
        marks += grain_heads(each, field)
    marks += place_squares(room, setting.free, on_mat, brush)
    marks += draw_corners(setting.frame, brush)
    marks += draw_head(heading, series, window, crosses, cloth, setting.head, brush)
    items = (
        Group(tuple(strokes), window=field),
        Group((*marks, *words), furniture=True, window=setting.shown),
    )
    return View(heading.name, items, tuple(each for each in shown if _seen(each, field)))


def _seen(shown: Shown, field: Bounds) -> bool:
    boxes = [run.edge.path.moved(shown.at).bounds for run in shown.piece.runs]
    return bounds_of(boxes).grown(1.0).meets(field)
