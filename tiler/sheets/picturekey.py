"""What lines and numbers mean, in one or two lines under the picture's title."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Pattern, Role
from tiler.sheets.drawing import Item, Pen, Words
from tiler.sheets.lettering import SMALL, height_of, leading_of, width_of
from tiler.sheets.pens import CUT, FOLD, PENS, style_pen
from tiler.sheets.samples import (
    dart_sample,
    grain_sample,
    line_sample,
    mark_sample,
    notch_sample,
)
from tiler.sheets.stylekeys import cut_keys, key_words
from tiler.sheets.words import say

_SIZE = SMALL + 0.5
_SAMPLE, _BESIDE, _APART = 11.0, 1.5, 5.0
_LINE = leading_of(_SIZE) + 0.8
_ROLES = (
    (Role.STITCH, "key_stitch"),
    (Role.FOLD, "key_fold"),
    (Role.POCKET, "key_pocket"),
    (Role.INSIDE, "key_inside"),
)
_MARKS = (
    (Role.NOTCH, "key_notch"),
    (Role.DRILL, "key_drill"),
    (Role.BUTTON, "key_button"),
    (Role.BUTTONHOLE, "key_buttonhole"),
)
#: How large the sample of a mark is at most, millimetres.
_MARK = {Role.DRILL: 1.2, Role.BUTTON: 2.6, Role.BUTTONHOLE: 2.6}


def draw_picture_key(pattern: Pattern, width: float) -> tuple[list[Item], float]:
    """Samples of the lines that this pattern has, then what the numbers are, left to right.

    Args:
        pattern: Drafted.
        width: Where a new line is begun, millimetres.

    Returns:
        Items that hang down from (0, 0), and their height in millimetres.
    """
    items: list[Item] = []
    left, lines = 0.0, 1
    for pen, text in [*_lines(pattern), *_marks(pattern), *_numbers(pattern)]:
        wide = width_of(text, _SIZE) + (_SAMPLE + _BESIDE if pen else 0.0)
        if left and left + wide > width:
            left, lines = 0.0, lines + 1
        base = -lines * _LINE
        start = left
        if pen:
            items += _sample(pattern, pen, Point(left, base + height_of(_SIZE) / 2))
            start += _SAMPLE + _BESIDE
        items.append(Words(text, Point(start, base), _SIZE, grey=0.1))
        left += wide + _APART
    return items, lines * _LINE


def _sample(pattern: Pattern, pen: Pen | Role, at: Point) -> list[Item]:
    """A line, or a dart, a grainline, a notch or a mark as they are drawn."""
    if isinstance(pen, Pen):
        return line_sample(at, _SAMPLE, pen)
    small = _small(PENS[pen])
    if pen is Role.DART:
        return dart_sample(pattern, at, _SAMPLE, small)
    if pen is Role.GRAIN:
        return grain_sample(at, _SAMPLE, small)
    if pen is Role.NOTCH:
        return notch_sample(pattern, at, _SAMPLE, _small(CUT), small)
    middle = Point(at.x + _SAMPLE / 2, at.y)
    return [mark_sample(pattern, pen, middle, _MARK[pen], small)]


def _lines(pattern: Pattern) -> list[tuple[Pen | Role | None, str]]:
    pieces = pattern.pieces
    runs = [run for piece in pieces for run in piece.runs]
    roles = {run.role for run in runs} | {line.role for p in pieces for line in p.lines}
    if any(piece.stitch for piece in pieces):
        roles.add(Role.STITCH)
    found: list[tuple[Pen | Role | None, str]] = []
    if any(run.role is Role.CUT and not run.style for run in runs):
        found.append((_small(CUT), say("key_cut")))
    order = tuple(name for name, _ in pattern.styles)
    for key in cut_keys(pattern):
        found.append((_small(style_pen(CUT, order, key)), key_words(key)))
    sewn = [line.style for p in pieces for line in p.lines if line.role is Role.STITCH]
    if any(sewn):
        pen = style_pen(PENS[Role.STITCH], order, next(filter(None, sewn)))
        found.append((_small(pen), say("key_stitch_style")))
    if any(run.edge.lies is Lies.FOLD for run in runs):
        found.append((_small(FOLD), say("key_fold_edge")))
    found += [(_small(PENS[role]), say(key)) for role, key in _ROLES if role in roles]
    return found


def _marks(pattern: Pattern) -> list[tuple[Pen | Role | None, str]]:
    pieces = pattern.pieces
    found: list[tuple[Pen | Role | None, str]] = []
    if any(line.role is Role.DART for piece in pieces for line in piece.lines):
        found.append((Role.DART, say("key_dart")))
    if any(piece.grain for piece in pieces):
        found.append((Role.GRAIN, say("key_grain")))
    marked = {mark.role for piece in pieces for mark in piece.marks}
    return [*found, *((role, say(key)) for role, key in _MARKS if role in marked)]


def _small(pen: Pen) -> Pen:
    return Pen(max(0.15, pen.width * 0.6), pen.grey, tuple(length * 0.5 for length in pen.dash))


def _numbers(pattern: Pattern) -> list[tuple[Pen | Role | None, str]]:
    pieces = pattern.pieces
    known = [bool(piece.stitch) for piece in pieces]
    if all(known):
        lengths = say("picture_length")
    else:
        lengths = say("picture_length_both" if any(known) else "picture_length_edge")
    edges = [(e, piece) for piece in pieces for o in piece.outlines for e in o.edges]
    allowed = any(piece.allowance_of(edge) for edge, piece in edges)
    texts = [lengths, say("picture_allowance")] if allowed else [lengths]
    return [(None, text) for text in texts]
