"""How large the target cards were printed, from their two bars or from a printer that is kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.pattern.errors import MeasureError
from tiler.pattern.units import format_mm

if TYPE_CHECKING:
    from tiler.intake.photo.camera.printed import Printed
    from tiler.layout.scale import Axis
    from tiler.pattern.model import Finding

#: Cards are used that are off by this much, since their size is known then; more is no print of
#: ours, or another length than the bar.
_MOST_OFF = 0.06
#: With one bar alone nothing speaks against a wrong one, and less is taken.
_MOST_ALONE = 0.04
#: Both directions of a print are nearer to one another than this, or one bar was misread.
_MOST_APART = 0.02
#: How near to another length of our sheets a reading makes one suspect it.
_NEAR = 0.008
#: Lengths that are not the bars: the squares of a card and a whole card, two cards, and the bars
#: up of the calibration page on Letter and A4.
_OTHERS = (
    (168.0, "the squares of a card"),
    (180.0, "a card along its cut line"),
    (105.0, "the squares of a card up"),
    (117.0, "one card up"),
    (234.0, "two cards along their cut lines"),
    (250.0, "the bar up of the calibration page on Letter"),
    (270.0, "the bar up of the calibration page on A4"),
    (100.0, "a calibration square"),
)
#: Papers that a fitted page is tried on.
_PAPERS = ("a4", "letter")
#: Readings that are no whole divisions were estimated between the marks, and halves of a division
#: to the nearest half: they are as good as read from marks so much nearer to one another. Common
#: practice, no source.
_HALVES, _BETWEEN = 2, 3
#: So near to a mark a reading is taken to be at it, as a share of a division.
_AT_MARK = 0.01
_AGAIN = (
    "Measure the two long bars beside the cards once more, from the middle of one end mark to the "
    "middle of the other."
)


def bars_of_cards() -> tuple[float, float]:
    """What the bars of a page of target cards measure at true size, millimetres."""
    from tiler.sheets.targetbars import BARS

    return BARS


def printed_cards(
    across: float | None, up: float | None, division: float, printer: str = ""
) -> tuple[Printed, tuple[Finding, ...]]:
    """What is known of the size of the cards.

    Args:
        across: What the bar across measures, millimetres; None when nobody has said.
        up: The same for the bar up.
        division: The distance between the finest marks of the rule, millimetres.
        printer: Name of a kept printer that printed them; empty for none. Bars count before it.

    Returns:
        Their scale, and what is good to know about it.

    Raises:
        MeasureError: Nothing tells how large they are, or a reading cannot be that of its bar.
        FileError: There is no such printer.
    """
    from tiler.intake.photo.camera.printed import Printed

    if across is None and up is None:
        if not printer:
            raise MeasureError(
                "nothing tells how large the cards were printed, and true size is never guessed",
                remedy="Measure the two long bars beside the cards and add --across and --up, or "
                "add --printer with the name of a printer that blocksheet scale has kept.",
            )
        return _of_printer(printer)
    axes = _axes(across, up, division)
    _refuse_others(axes, across, up)
    # The cards show how the two directions differ, so that both bars together tell one size.
    told = [axis.u**-2 for axis in axes if axis]
    u = (sum(told) / len(told)) ** -0.5
    scales = [axis.scale if axis else None for axis in axes]
    return Printed(scales[0], scales[1], u), tuple(_off(axes))


def _of_printer(name: str) -> tuple[Printed, tuple[Finding, ...]]:
    from tiler.intake.photo.camera.printed import Printed
    from tiler.job.scaling import find_printer
    from tiler.layout.scale.reading import COVERAGE

    printer = find_printer(name)
    u = max(printer.across_pm, printer.up_pm) / COVERAGE
    words = (
        f"The size of the cards is taken from {printer.name}, measured on {printer.paper}: right "
        "if they were printed there at 100 %, not made up for. Their own bars would be surer."
    )
    return Printed(printer.across, printer.up, u), (_finding("cards-by-printer", words),)


def _axes(
    across: float | None, up: float | None, division: float
) -> tuple[Axis | None, Axis | None]:
    from tiler.layout.scale import Reading, Rule
    from tiler.layout.scale.plausible import refuse_implausible
    from tiler.layout.scale.reading import FINEST

    rule = Rule(division)
    rule = Rule(max(FINEST, rule.division / _parts(across, up, division)))
    bars = bars_of_cards()
    readings = [
        None if said is None else Reading(bar, said, rule)
        for bar, said in zip(bars, (across, up), strict=True)
    ]
    first, second = readings
    # What is not known stands in the same proportion.
    known = next(reading for reading in readings if reading)
    refuse_implausible(
        first or Reading(bars[0], bars[0] * known.axis.scale, rule),
        second or Reading(bars[1], bars[1] * known.axis.scale, rule),
    )
    return first.axis if first else None, second.axis if second else None


def _parts(across: float | None, up: float | None, division: float) -> int:
    """Into how many parts the eye has divided the finest division of the rule."""
    said = [reading / division for reading in (across, up) if reading is not None]
    for parts in (1, _HALVES):
        if all(abs(each * parts - round(each * parts)) < _AT_MARK * parts for each in said):
            return parts
    return _BETWEEN


def _refuse_others(
    axes: tuple[Axis | None, Axis | None], across: float | None, up: float | None
) -> None:
    """Refuse what is no print of the cards, with what it probably is.

    Raises:
        MeasureError: It is too far off, or the two directions are too far apart.
    """
    known = [axis for axis in axes if axis]
    apart = known[-1].scale - known[0].scale
    most = _MOST_OFF if len(known) == 2 else _MOST_ALONE
    off = max(abs(axis.off) for axis in known)
    if off <= most and abs(apart) <= _MOST_APART + 2 * max(axis.u for axis in known):
        return
    for said, axis, name in zip((across, up), axes, ("across", "up"), strict=True):
        other = next((w for length, w in _OTHERS if said and abs(said / length - 1) < _NEAR), "")
        if said and axis and other and abs(axis.off) > _NEAR:
            bar = format_mm(bars_of_cards()[name == "up"])
            raise MeasureError(
                f"{format_mm(said, 2)} is far from the bar of {bar}; it is about the length of "
                f"{other}",
                where=f"the bar {name}",
                remedy=_AGAIN,
            )
    if off <= most:
        raise MeasureError(
            f"the cards would be printed {known[0].scale * 100:.1f} % across and "
            f"{known[1].scale * 100:.1f} % up: no printer differs so much between the two",
            where="the bars",
            remedy=f"{_AGAIN} If they are so, print the cards anew at 100 %.",
        )
    raise MeasureError(
        f"the cards were printed at {_percent(known)}, too far from 100 % to be used{_cause(axes)}",
        where="the bars",
        remedy=f"{_AGAIN} If they are so, print the cards anew at 100 %, no scaling.",
    )


def _off(axes: tuple[Axis | None, Axis | None]) -> list[Finding]:
    """Cards that are usable, but tell that the next pattern would not be."""
    from tiler.pattern.tolerance import PRINT_COMPENSABLE

    known = [axis for axis in axes if axis]
    found = []
    if max(abs(axis.off) for axis in known) > PRINT_COMPENSABLE.share:
        words = (
            f"The cards were printed at {_percent(known)}{_cause(axes)}. That is allowed for here; "
            "print patterns at 100 %."
        )
        found.append(_finding("cards-off", words, warning=True))
    if len(known) < 2:
        words = (
            "Only one bar was measured, so that the other direction is taken to be alike. "
            "Measure both to be surer."
        )
        found.append(_finding("one-bar", words, warning=True))
    return found


def _cause(axes: tuple[Axis | None, Axis | None]) -> str:
    """What was probably set, with a colon in front; empty when no setting fits."""
    from tiler.layout.papers import find_paper
    from tiler.layout.scale import cause_in_words
    from tiler.layout.scale.matching import matching

    across, up = axes
    if across is None or up is None:
        return ""
    for paper in _PAPERS:
        for match in matching(across, up, find_paper(paper)):
            return f" (probably {cause_in_words(match)})"
    return ""


def _percent(axes: list[Axis]) -> str:
    """The scale in words; both directions where they differ."""
    told = list(dict.fromkeys(f"{axis.scale * 100:.1f} %" for axis in axes))
    return told[0] if len(told) == 1 else f"{told[0]} across and {told[1]} up"


def _finding(code: str, words: str, *, warning: bool = False) -> Finding:
    from tiler.pattern.model import Finding, Severity

    return Finding(code, Severity.WARNING if warning else Severity.NOTE, "the cards", words)
