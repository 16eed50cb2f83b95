"""What the calibration page says: how to print it, what to measure, and what to type."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PaperError
from tiler.pattern.path import polyline
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.column import Column
from tiler.sheets.diagonals import diagonal_of, lean_of
from tiler.sheets.drawing import Item, Stroke
from tiler.sheets.lettering import BODY, LARGE, READ, SMALL, TITLE, width_of
from tiler.sheets.marginfinder import EXAMPLE, draw_example
from tiler.sheets.pens import HAIR
from tiler.sheets.qr import MODULE, QUIET, draw_code, side_of
from tiler.sheets.scaleframe import ScaleFrame
from tiler.sheets.words import say

if TYPE_CHECKING:
    from tiler.layout.scale.printer import Printer

#: Type sizes that are tried, best first.
_SIZES = (LARGE, LARGE - 1, READ, BODY, 8.0, SMALL + 0.5, SMALL)
#: Between two columns, millimetres.
_GAP = 8.0
#: Between the quiet zone of a code and the words below it, millimetres.
_BELOW_CODE = 0.8

Section = Callable[[Column, float], None]


def draw_heading(frame: Bounds, page: ScaleFrame, printer: Printer | None) -> Column:
    """Title, and for which paper and printer the page is."""
    narrow, paper = page.narrow, page.paper
    column = Column(frame)
    title = LARGE if narrow else TITLE
    column.add(say("calibration_title"), title, bold=True, after=0.4 if narrow else 1.2)
    if printer:
        text = say("calibration_for", printer=printer.name, paper=paper.name)
        column.add(text, SMALL if narrow else BODY, bold=True, after=0.6)
    if printer and not narrow:
        was = {"across": _off(printer.across), "up": _off(printer.up)}
        column.add(say("calibration_was", printer=printer.name, **was), BODY, after=1.4)
    if not printer and not narrow:
        facts = {"width": f"{paper.width:g}", "height": f"{paper.height:g}"}
        column.add(say("calibration_about", paper=paper.name, **facts), BODY, after=1.4)
    left, _, right, _ = frame
    column.items.append(
        Stroke((polyline([Point(left, column.top), Point(right, column.top)]),), HAIR)
    )
    column.top -= 2.0 if narrow else 5.0
    return column


def arrange(page: ScaleFrame, above: Bounds, inside: Bounds, printer: Printer | None) -> list[Item]:
    """All that is to be done, in the order in which it is done.

    Args:
        page: Where everything stands.
        above: What the heading leaves over the squares.
        inside: What the samples leave within the squares; used where nothing fits beside them.
        printer: Whose error is made up for.

    Raises:
        PaperError: It does not all fit.
    """
    doing = [_print(page, printer), _measure(page), _type(page, printer)]
    looking = [_skew(page), _edge(page)]
    if page.beside is None:
        room, code = _code_to_the_right(page, above, printer)
        return code + _set([(room, doing)]) + _set([(inside, looking)])
    middle = (above.left + above.right) / 2
    left = above._replace(right=middle - _GAP / 2)
    right = above._replace(left=middle + _GAP / 2)
    second = [*doing[2:], looking[0], _code(page, printer)]
    return _set([(left, doing[:2]), (right, second), (page.beside, looking[1:])])


def _set(rooms: Sequence[tuple[Bounds, Sequence[Section]]]) -> list[Item]:
    """Each room's sections from its top, all in the largest type that they all fit in."""
    for size in _SIZES:
        columns = []
        for room, sections in rooms:
            column = Column(room)
            for section in sections:
                section(column, size)
                column.top -= size * 0.25
            # The air below the last section may run out of the room.
            columns.append((column, column.top + size * 0.3 >= room.bottom))
        if all(fits for _, fits in columns):
            return [item for column, _ in columns for item in column.items]
    raise PaperError(
        "the paper has no room for all that the calibration page says",
        remedy="Use a larger paper, or a shorter name for the printer.",
    )


def _titled(column: Column, title: str, texts: Iterable[str], size: float) -> None:
    column.add(say(title), size + 1.5, bold=True, after=size * 0.06)
    for text in texts:
        column.add(text, size, after=size * 0.1)


def _print(page: ScaleFrame, printer: Printer | None) -> Section:
    texts = [say("calibration_print_scale"), say("calibration_print_wait")]
    if not (page.narrow and printer):
        texts.insert(1, say("calibration_print_feed"))

    def told(column: Column, size: float) -> None:
        _titled(column, "calibration_print_title", texts, size)

    return told


def _measure(page: ScaleFrame) -> Section:
    texts = [say("calibration_measure_rule")]
    if not page.narrow:
        texts.append(say("calibration_measure_finely"))

    def told(column: Column, size: float) -> None:
        _titled(column, "calibration_measure_title", texts, size)

    return told


def _type(page: ScaleFrame, printer: Printer | None) -> Section:
    across, up = page.bars

    def asked(column: Column, size: float) -> None:
        _titled(column, "calibration_type_title", (), size)
        measured = say("calibration_type_measured", paper=page.paper.name.lower())
        lines = [say("calibration_type"), measured]
        if width_of(" ".join(lines), size, bold=True) <= column.frame.width:
            lines = [" ".join(lines)]
        for line in lines:
            column.add(line, size, bold=True, after=0)
        column.top -= size * 0.1
        if not page.narrow:
            inches = f"{across / MM_PER_INCH:.2f}"
            column.add(say("calibration_type_units", example=inches), size, after=size * 0.1)
            column.add(say("calibration_type_ruler"), size, after=0.5)

    def confirmed(column: Column, size: float) -> None:
        text = say("calibration_confirm", across=f"{across:.0f}", up=f"{up:.0f}")
        _titled(column, "calibration_confirm_title", [text], size)

    return confirmed if printer else asked


def _skew(page: ScaleFrame) -> Section:
    corners = page.corners
    long, lean = diagonal_of(corners), lean_of(corners)
    sideways = corners.height * math.tan(math.radians(lean))

    def told(column: Column, size: float) -> None:
        text = say(
            "calibration_skew",
            mm=f"{long:.0f}",
            inch=f"{long / MM_PER_INCH:.3f}",
            degrees=f"{lean:.2f}",
            lean=f"{sideways:.1f}",
            height=f"{corners.height:.0f}",
        )
        _titled(column, "calibration_skew_title", [text], size)

    return told


def _edge(page: ScaleFrame) -> Section:
    def told(column: Column, size: float) -> None:
        _titled(column, "calibration_edge_title", [say("calibration_edge")], size)
        column.add(say("calibration_edge_option", example=5), size, bold=True, after=0.5)
        if page.beside:
            column.top -= EXAMPLE + 3.0
            at = Point(column.frame.left, column.top)
            column.items += draw_example(at, say("calibration_edge_example", example=5))

    return told


def _code(page: ScaleFrame, printer: Printer | None) -> Section:
    """What a phone can keep, below the words of the column."""
    text, words = _code_text(page, printer), _code_words(printer)

    def drawn(column: Column, size: float) -> None:
        side = side_of(text)
        column.top -= side
        # Its dark modules begin where words do; the gap between the columns is free for the rest.
        at = Point(column.frame.left + side / 2 - QUIET * MODULE, column.top + side / 2)
        column.items += draw_code(text, at)
        column.top -= _BELOW_CODE
        column.add(words, SMALL, after=0.0)

    return drawn


def _code_to_the_right(
    page: ScaleFrame, above: Bounds, printer: Printer | None
) -> tuple[Bounds, list[Item]]:
    """The code at the upper right, and the room beside it; on narrow paper there is none.

    What it says stands on the page in words all the same.
    """
    if page.narrow:
        return above, []
    text = _code_text(page, printer)
    side = side_of(text)
    rim = QUIET * MODULE
    left, top = above.right - side + rim, above.top + rim
    column = Column(Bounds(left, above.bottom, above.right, top - side - _BELOW_CODE))
    column.add(_code_words(printer), SMALL, after=0.0)
    code = draw_code(text, Point(left - rim + side / 2, top - side / 2))
    return above._replace(right=left - _GAP), [*code, *column.items]


def _code_text(page: ScaleFrame, printer: Printer | None) -> str:
    """The lengths of the bars, and what to type: a page that knows no pattern has no more."""
    across, up = (f"{bar:.0f}" for bar in page.bars)
    facts = {"paper": page.paper.name, "across": across, "up": up}
    if printer:
        return say("calibration_code_for", printer=printer.name, **facts)
    measured = say("calibration_type_measured", paper=page.paper.name.lower())
    return say("calibration_code", command=f"{say('calibration_type')} {measured}", **facts)


def _code_words(printer: Printer | None) -> str:
    return say("calibration_code_words_for" if printer else "calibration_code_words")


def _off(scale: float) -> str:
    """A printer's error in words."""
    percent = abs(scale - 1) * 100
    if percent < 0.005:
        return say("calibration_even")
    key = "calibration_larger" if scale > 1 else "calibration_smaller"
    return say(key, percent=f"{percent:.2f}")
