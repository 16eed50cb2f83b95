"""What was found about a print scale, told in plain words: the cause first, then what to do."""

from __future__ import annotations

import re
import textwrap
from typing import TYPE_CHECKING

from tiler.cli.telling import tell
from tiler.pattern.units import format_inch, format_mm

if TYPE_CHECKING:
    from tiler.layout.scale import Axis, Effect, Judgement, Printer

#: Characters in a line.
_WIDE = 96
#: Stands for a space that is no place to break a line.
_BOUND = "\0"
#: Directions that differ by less are told as one.
_SAME = 0.0015


def tell_judgement(
    judgement: Judgement,
    bars: tuple[float, float],
    read: tuple[float, float],
    *,
    pattern: str = "",
    sure: bool = False,
) -> None:
    """Tell what was measured, what it means, what it does to the garment, and what to do.

    Args:
        judgement: What was found.
        bars: What the bars measure at true size, millimetres.
        read: What they measure in print.
        pattern: Title of the pattern that it was carried over; empty when there was none.
        sure: Whether the owner has said that the error is the printer's own.
    """
    for name, axis, bar, length in (
        ("across (short side)", judgement.across, bars[0], read[0]),
        ("up (long side)", judgement.up, bars[1], read[1]),
    ):
        tell(
            f"{name:<20} {format_mm(length, 2)} for {format_mm(bar, 2)}: "
            f"{axis.scale * 100:.2f} %, ± {axis.pm * 100:.2f} %"
        )
    tell("")
    for sentence in (*meaning(judgement, sure=sure), *_garment(judgement, pattern)):
        _wrapped(sentence)


def meaning(judgement: Judgement, *, sure: bool = False) -> list[str]:
    """The verdict: the cause first, then the one thing to do about it.

    Args:
        judgement: What was found.
        sure: As in `tell_judgement`.
    """
    from tiler.layout.scale import REMEDIES, Verdict, cause_in_words

    match judgement.verdict:
        case Verdict.TRUE:
            return [f"It prints at true size{_as_far(judgement)}."]
        case Verdict.WRONG_SETTING:
            causes = [cause_in_words(match) for match in judgement.matches]
            remedy = REMEDIES[judgement.matches[0].setting]
            return [
                "A print setting is wrong; the printer is not.",
                *_several("Probably", causes),
                f"Do this: {remedy} Then print the page again and measure it anew.",
            ]
        case Verdict.PRINTER_ERROR:
            return [f"The printer itself prints {_how(judgement)}.", *_rarely(judgement)]
        case Verdict.ASK if sure:
            return [f"The printer itself prints {_how(judgement)}, as you say."]
        case Verdict.ASK:
            return _ask(judgement)
        case Verdict.TOO_FAR:
            return [
                f"It prints {_how(judgement)}: too far off for a printer in order, and no print "
                f"setting that we know gives it. {_feed(judgement)}".rstrip(),
                "Do this: measure both bars once more, from the middle of one end mark to the "
                "middle of the other. If they are so, print the page again from another PDF "
                "reader at 100 %.",
            ]
        case Verdict.TOO_COARSE:
            worst = max(judgement.across.pm, judgement.up.pm)
            return [
                f"This ruler tells the scale only to ± {worst * 100:.1f} %, too coarse to rely on.",
                "Do this: measure again with a ruler that has 1 mm or finer marks.",
            ]


def _ask(judgement: Judgement) -> list[str]:
    """Who knows whether it was the printer or a setting is whoever has printed it."""
    from tiler.layout.scale import REMEDIES, cause_in_words

    how = _how(judgement)
    likely = [match for match in judgement.matches if not match.rare]
    if likely:
        return [
            f"It prints {how}. That can be the printer itself, or a print setting.",
            *_several("As a setting it would be this:", [cause_in_words(m) for m in likely]),
            *_rarely(judgement),
            f"Do this first: {REMEDIES[likely[0].setting]} Then print the page again and measure "
            "it anew.",
        ]
    if judgement.hidden:
        return [
            f"It prints {how}, which this ruler does not tell from true size for sure.",
            *_rarely(judgement),
            "Do this first: measure once more, with a ruler that has finer marks if there is one.",
        ]
    return [
        f"It prints {how}, which is much for a printer. {_feed(judgement)}".rstrip(),
        *_rarely(judgement),
        "Do this first: make sure that it was printed at 100 %, and measure once more.",
    ]


def _rarely(judgement: Judgement) -> list[str]:
    from tiler.layout.scale import cause_in_words

    causes = [cause_in_words(match) for match in judgement.matches if match.rare]
    return [f"Rarer, but it fits: {'; '.join(causes[:2])}."] if causes else []


def _several(first: str, causes: list[str]) -> list[str]:
    said = [f"{first} {causes[0]}."]
    if len(causes) > 1:
        said.append(f"It fits as well: {'; '.join(causes[1:4])}.")
    return said


def _feed(judgement: Judgement) -> str:
    if judgement.one_way == "up":
        return (
            "Only one direction is off, the one in which most printers feed the paper: look for "
            "worn or dusty rollers, thick paper, or a wrong kind of paper in the settings."
        )
    if judgement.one_way == "across":
        return "Only one direction is off, which no usual setting does."
    return ""


def _as_far(judgement: Judgement) -> str:
    worst = max(judgement.across.pm, judgement.up.pm)
    return f", as far as this ruler tells: ± {worst * 100:.2f} %"


def _how(judgement: Judgement) -> str:
    """Such as ``0.4 % too small``, or both directions when they differ."""
    from tiler.layout.scale.matching import together

    if abs(judgement.across.off - judgement.up.off) < _SAME:
        return _off(together(judgement.across, judgement.up))
    return f"{_off(judgement.across)} across and {_off(judgement.up)} up"


def _off(axis: Axis) -> str:
    share = f"{abs(axis.off) * 100:.1f}"
    if share == "0.0":
        return "true to size"
    return f"{share} % too {'small' if axis.off < 0 else 'large'}"


def _garment(judgement: Judgement, pattern: str) -> list[str]:
    said = [_effect(effect) for effect in judgement.effects[:2]]
    said += [
        f"{_named(effect)}, the longest seam: its two edges may differ by up to "
        f"{_length(effect.worst)}, ± {format_mm(effect.pm)}, by how they lie on the paper."
        for effect in judgement.effects[2:]
    ]
    if not pattern:
        return [said[0].capitalize()]
    said = [f"  {sentence}" for sentence in said]
    said.insert(0, f"What that does to {pattern}, printed like this:")
    if judgement.in_tolerance:
        doubt = "" if judgement.surely else ", as far as this ruler tells"
        said.append(f"In tolerance for this pattern{doubt}.")
    else:
        worst = next(effect for effect in judgement.effects if not effect.in_tolerance)
        doubt = "" if judgement.surely else "Probably out of tolerance"
        said.append(
            f"{doubt or 'Out of tolerance'} for this pattern: {worst.limit.what}, up to "
            f"{format_mm(worst.limit.limit)} is in tolerance ({worst.limit.source})."
        )
    return said


def _effect(effect: Effect) -> str:
    doubt = f"± {format_mm(effect.pm)}"
    if effect.least == effect.most:
        return f"{_named(effect)} comes out {_out(effect.worst)}, {doubt}."
    return (
        f"{_named(effect)} comes out from {_out(effect.least)} to {_out(effect.most)}, by how "
        f"it lies on the paper, {doubt}."
    )


def _named(effect: Effect) -> str:
    length = effect.span.length
    return f"{effect.span.what} ({format_mm(length, 0)}, {format_inch(length)})"


def _out(off: float) -> str:
    if abs(off) < 0.05:
        return "true"
    return f"{_length(abs(off))} {'small' if off < 0 else 'large'}"


def _length(length: float) -> str:
    inch = format_inch(length, 16)
    return format_mm(length) + (f" ({inch})" if inch != "0 in" else "")


def printer_line(printer: Printer) -> str:
    """One printer of the list."""
    said = [
        f"{printer.name}: on {printer.paper}",
        f"across {printer.across * 100:.2f} % ± {printer.across_pm * 100:.2f} %",
        f"up {printer.up * 100:.2f} % ± {printer.up_pm * 100:.2f} %",
    ]
    if printer.margin is not None:
        said.append(f"prints to {format_mm(printer.margin)} from the edge")
    if printer.is_true:
        said.append("true to size")
    return ", ".join(said)


def _wrapped(text: str) -> None:
    indent = " " * (len(text) - len(text.lstrip()))
    # A number stays in one line with what belongs to it.
    bound = re.sub(r"(?<=[\d±]) (?=[\d%]|mm\b|in\b)", _BOUND, text.strip())
    for line in textwrap.wrap(
        bound,
        _WIDE,
        initial_indent=indent,
        subsequent_indent=indent + "  " * bool(indent),
        break_long_words=False,
        break_on_hyphens=False,
    ):
        tell(line.replace(_BOUND, " "))
