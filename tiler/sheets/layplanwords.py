"""What is said of a lay plan: what to buy, how it lies, what to cut."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tiler.layout.cloth.buying import metric, yards
from tiler.layout.cloth.model import LayPlan, Need, Part, Spread
from tiler.pattern.model import Lay, Pattern
from tiler.pattern.units import format_inch
from tiler.sheets.words import say


def number(digits: str, language: str) -> str:
    """A number with the decimal sign of the language."""
    return digits.replace(".", say("lay_point", language))


def metres(length: float, language: str = "en") -> str:
    """A length to buy, up to the next 10 cm: ``1.8 m``."""
    return say("lay_m", language, number=number(f"{metric(length) / 1000:.1f}", language))


def yards_words(length: float, language: str = "en") -> str:
    """A length to buy, up to the next eighth of a yard: ``2 1/8 yd``."""
    whole, rest = divmod(yards(length), 1)
    part = f"{Fraction(rest).numerator}/{Fraction(rest).denominator}" if rest else ""
    told = " ".join(words for words in (str(whole) if whole or not rest else "", part) if words)
    return say("lay_yd", language, number=told)


def both(length: float, language: str = "en") -> str:
    """A length in centimetres and, to the nearest quarter, in inches: ``150 cm (59 in)``."""
    metric_words = say("lay_cm", language, number=centimetres(length, language))
    return say("lay_width", language, metric=metric_words, inch=inches(length, language))


def inches(length: float, language: str = "en") -> str:
    """A length in inches, to the nearest quarter."""
    return say("lay_inch", language, number=format_inch(length, 4).removesuffix(" in"))


def centimetres(length: float, language: str = "en") -> str:
    """The number of centimetres, to the millimetre."""
    return number(f"{length / 10:.1f}".removesuffix(".0"), language)


def size_of_repeat(repeat: tuple[float, float], language: str = "en") -> str:
    """The repeat of a check, along × across: ``40 × 30 mm``; one number when it is a stripe."""
    sides = repeat if all(repeat) else (max(repeat),)
    told = " × ".join(number(f"{length:g}", language) for length in sides)
    return say("lay_mm", language, number=told)


def buy_words(plan: LayPlan, language: str = "en") -> str:
    """What to buy, in both systems."""
    return say(
        "lay_buy",
        language,
        metric=metres(plan.to_buy, language),
        yards=yards_words(plan.to_buy, language),
        width=both(plan.cloth.width, language),
    )


def spread_words(part: Part, plan: LayPlan, language: str, *, short: bool = False) -> str:
    """How many layers lie in a stretch."""
    if part.spread is Spread.FOLDED:
        long, brief = "lay_folded", "lay_folded_short"
    elif any(other.spread is Spread.FOLDED for other in plan.parts):
        long, brief = "lay_opened", "lay_opened_short"
    else:
        long, brief = "lay_single", "lay_single_short"
    return say(brief if short else long, language)


def facts_of(plan: LayPlan, scale: int | None, language: str) -> Iterator[str]:
    """How it lies and how well the cloth is used; `scale` is None within a text."""
    cloth = plan.cloth
    spreads = dict.fromkeys(spread_words(p, plan, language, short=True) for p in plan.parts)
    told = ["; ".join(spreads), say("lay_used", language, length=both(plan.length, language))]
    if scale is not None:
        told.append(say("lay_covered", language, percent=f"{100 * plan.utilisation:.0f}"))
        told.append(say("lay_scale", language, scale=scale))
    yield " · ".join(told)
    if any(cloth.shrinkage):
        shares = (f"{100 * share:.4g}" for share in cloth.shrinkage)
        along, across = (f"{number(share, language)} %" for share in shares)
        yield say("lay_shrinks", language, along=along, across=across)
    else:
        yield say("lay_does_not_shrink", language)
    if plan.stopped:
        yield say("lay_stopped", language)


def nested_in(pattern: Pattern, needs: Sequence[Need]) -> tuple[str, ...]:
    """The styles of which pieces have more than one, so that they take the room of all of these."""
    cut = {need.piece for need in needs}
    pieces = [piece for piece in pattern.pieces if piece.name in cut and len(piece.outlines) > 1]
    styles = {style for piece in pieces for style in piece.styles}
    return tuple(name for name, _ in pattern.styles if name in styles)


def turns_of(plan: LayPlan, language: str) -> Iterator[str]:
    """What to do where the cloth lies another way from then on."""
    for part in plan.parts[1:]:
        key = "lay_turn_fold" if part.spread is Spread.FOLDED else "lay_turn_open"
        yield say(key, language, length=both(part.start, language))


def entries_of(
    plan: LayPlan, needs: Sequence[Need], pattern: Pattern, language: str
) -> list[tuple[int, str]]:
    """Number and instruction of each piece to cut, in the pattern's order."""
    numbers = {piece.name: number for number, piece in enumerate(pattern.pieces, start=1)}
    every = [laid for part in plan.parts for laid in part.laid]
    opened = {laid.piece for laid in every if laid.opened}
    halved = {laid.piece for laid in every if laid.halved}

    def key(need: Need) -> str:
        if need.piece in opened:
            return "lay_entry_whole"
        if need.piece in halved:
            return "lay_entry_halved"
        return {Lay.FOLD: "lay_entry_fold", Lay.PAIR: "lay_entry_pair"}.get(need.lay, "lay_entry")

    def entry(need: Need) -> str:
        facts = {"name": need.piece, "count": need.count, "half": need.count // 2}
        return say(key(need), language, **facts)

    return [(numbers[need.piece], entry(need)) for need in needs]
