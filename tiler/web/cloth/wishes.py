"""What is asked of a cloth in the form, and what the form shows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.job import EFFORTS, Packing
from tiler.job.cloth import SPREADS, WIDTHS, ClothWishes
from tiler.pattern.errors import BlocksheetError, ClothError
from tiler.pattern.units import MM_PER_INCH
from tiler.web.lengths import typed_length

if TYPE_CHECKING:
    from tiler.output.editing.changes import ClothFact
    from tiler.pattern.handover import ClothFacts
    from tiler.web.asking import Asked

#: Widths of cloth are told in these beside the fields, since nobody counts them in millimetres.
WIDTH_UNITS = {"mm": "cm", "in": "in"}
#: Ways to say how wide it is, beside one of the common widths.
MAKERS, BEST, OTHER = "maker", "best", "other"


class FieldError(Exception):
    """Something is wrong with one field.

    Args:
        error: What.
        at: Its name.
    """

    def __init__(self, error: BlocksheetError, at: str) -> None:
        super().__init__(str(error))
        self.error, self.at = error, at


@dataclass(frozen=True)
class Shown:
    """What stands in the form.

    Args:
        width: The chosen radio button: one of the ways, or a common width as `width_value` writes
            it.
        other: What is typed as another width.
        spread: One of `SPREADS`.
        nap: yes, no or empty for what the pattern says.
        shrinkage: Percent along and across, as typed.
        repeat: Along and across, as typed.
        selvedge: As typed; empty for what is usual.
        gap: As typed; empty for what is usual.
        tilt: Degrees, as typed.
        styles: Those that are chosen.
        effort: One of `EFFORTS`.
    """

    width: str
    other: str
    spread: str
    nap: str
    shrinkage: tuple[str, str]
    repeat: tuple[str, str]
    selvedge: str
    gap: str
    tilt: str
    styles: tuple[str, ...]
    effort: str


def asked_for(asked: Asked, made: ClothFacts) -> tuple[ClothWishes, Packing]:
    """What the form asks for.

    Args:
        asked: The request with the form.
        made: What the pattern says of the cloth; a field that shows it and was emptied means none.

    Raises:
        FieldError: A field cannot be read.
    """
    spread, effort = asked.field("spread", "auto"), asked.field("effort", "normal")

    def length(text: str) -> float:
        return typed_length(text, asked.settings.units)

    wishes = ClothWishes(
        widths=_widths(asked, made),
        spread=spread if spread in SPREADS else "auto",
        nap={"yes": True, "no": False}.get(asked.field("nap")),
        shrinkage=_both(asked, "shrinkage", _share, made.shrinkage),
        repeat=_both(asked, "repeat", length, made.repeat),
        selvedge=_read(asked, "selvedge", length),
        gap=_read(asked, "gap", length),
        tilt=_read(asked, "tilt", _degrees) or 0.0,
        styles=tuple(dict.fromkeys(asked.fields("style"))),
    )
    return wishes, Packing(effort if effort in EFFORTS else "normal")


def shown(asked: Asked, made: ClothFacts, wishes: ClothWishes | None, effort: str) -> Shown:
    """What the form shows: what was asked for last, else what the pattern says.

    Args:
        asked: The request, for its units.
        made: What the pattern says of the cloth.
        wishes: What was asked for last; None for nothing.
        effort: One of `EFFORTS`.
    """
    wish = wishes or ClothWishes()
    width = wish.widths[0] if wish.widths else None
    usual = MAKERS if made.width is not None else BEST
    if width is None:
        way = BEST if wishes else usual
    elif width == made.width:
        way = MAKERS
    else:
        way = width_value(width) if width in WIDTHS else OTHER
    shrinkage = made.shrinkage if wish.shrinkage is None else wish.shrinkage
    repeat = made.repeat if wish.repeat is None else wish.repeat
    return Shown(
        width=way,
        other=_bare(asked, width) if way == OTHER and width is not None else "",
        spread=wish.spread,
        nap={True: "yes", False: "no", None: ""}[wish.nap],
        shrinkage=_two(shrinkage, lambda share: f"{100 * share:.4g} %"),
        repeat=_two(repeat, lambda length: asked.length(length) if length else ""),
        selvedge="" if wish.selvedge is None else asked.length(wish.selvedge),
        gap="" if wish.gap is None else asked.length(wish.gap),
        tilt=f"{wish.tilt:g}" if wish.tilt else "",
        styles=wish.styles,
        effort=effort,
    )


def width_value(width: float) -> str:
    """A common width as its radio button sends it."""
    return f"{width:.1f}mm"


def facts_to_keep(cloth: str, wishes: ClothWishes, made: ClothFacts) -> list[ClothFact]:
    """What is asked for and the pattern does not say, as changes of its file.

    Args:
        cloth: Its name.
        wishes: As asked for.
        made: What the pattern says of the cloth.
    """
    from tiler.output.editing.changes import ClothFact

    found: list[ClothFact] = []
    width = wishes.widths[0] if wishes.widths else None
    if width not in (None, made.width):
        found.append(ClothFact(cloth, "width", _length_word(width or 0.0)))
    if wishes.nap not in (None, made.nap):
        found.append(ClothFact(cloth, "nap", wishes.nap))
    if wishes.shrinkage not in (None, made.shrinkage):
        along, across = (f"{100 * share:.4g} %" for share in wishes.shrinkage or ())
        found.append(ClothFact(cloth, "shrinkage", (along, across)))
    if wishes.repeat not in (None, made.repeat):
        along, across = (f"{length:.6g} mm" for length in wishes.repeat or ())
        found.append(ClothFact(cloth, "repeat", (along, across)))
    return found


def _length_word(width: float) -> str:
    """A width as a pattern file says it: in centimetres, or in inches where those are whole."""
    inches = width / MM_PER_INCH
    whole = abs(inches - round(inches)) < 1e-6
    return f"{round(inches)} in" if whole else f"{width / 10:.8g} cm"


def _widths(asked: Asked, made: ClothFacts) -> tuple[float, ...]:
    """None for the one that takes the least cloth."""
    way = asked.field("width", MAKERS if made.width is not None else BEST)
    if way == MAKERS and made.width is not None:
        return (made.width,)
    if way == OTHER:
        unit = WIDTH_UNITS[asked.settings.units]
        try:
            return (typed_length(asked.field("other"), unit),)
        except BlocksheetError as wrong:
            raise FieldError(wrong, "other") from None
    common = {width_value(width): width for width in WIDTHS}
    return (common[way],) if way in common else ()


def _both(
    asked: Asked, name: str, parse: Callable[[str], float], made: tuple[float, float] | None
) -> tuple[float, float] | None:
    """Along and across; an empty one is none."""
    along, across = (_read(asked, f"{name}_{way}", parse) for way in ("along", "across"))
    if along is None and across is None and made is None:
        return None
    return along or 0.0, across or 0.0


def _read(asked: Asked, name: str, parse: Callable[[str], float]) -> float | None:
    """What a field says; None when it is empty."""
    typed = asked.field(name)
    if not typed:
        return None
    try:
        return parse(typed)
    except BlocksheetError as wrong:
        raise FieldError(wrong, name) from None


def _share(text: str) -> float:
    from tiler.intake.tomlvalues import share_of

    share = share_of(f"{text.replace(',', '.').rstrip('% ')} %")
    if share is None:
        raise ClothError(f"{text!r} is not a percentage", remedy='Write "5 %".')
    return share


def _degrees(text: str) -> float:
    plain = text.replace(",", ".").rstrip("° ")
    if not plain.replace(".", "", 1).isdecimal() or len(plain) > 6:
        raise ClothError(f"{text!r} is not an angle", remedy='Write "2" for two degrees.')
    return float(plain)


def _two(both: tuple[float, float] | None, words: Callable[[float], str]) -> tuple[str, str]:
    return ("", "") if both is None else (words(both[0]), words(both[1]))


def _bare(asked: Asked, width: float) -> str:
    return f"{width / 10:g} cm" if asked.settings.units == "mm" else asked.length(width)
