"""What a maker tells whoever gets the pattern: what to buy, what to know, what one may do."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Wearer(StrEnum):
    """Whom the garment is for; a child's asks for cautions of its own."""

    ADULT = "adult"
    CHILD = "child"


@dataclass(frozen=True, slots=True)
class Finished:
    """A measurement of the finished garment.

    Args:
        name: What is measured.
        length: Millimetres.
        style: The style that it holds for; empty for all.
    """

    name: str
    length: float
    style: str = ""


@dataclass(frozen=True, slots=True)
class ClothFacts:
    """What is known of a cloth beside its name, for buying and for laying the pieces on it.

    Args:
        cloth: The name that pieces are cut from.
        avoid: Which cloth does not suit.
        width: How wide it is sold, selvedges included, millimetres; None when not said.
        nap: Whether all pieces lie the same way up; None when not said.
        shrinkage: How much it gives in the first wash, along and across: 0.05 for 5 %; None when
            not said.
        repeat: The repeat of its check or stripe, along and across, millimetres, 0 for none; None
            when not said.
    """

    cloth: str
    avoid: str = ""
    width: float | None = None
    nap: bool | None = None
    shrinkage: tuple[float, float] | None = None
    repeat: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Handover:
    """All of it.

    Args:
        address: Where the pattern lives on the web, http or https; empty for nowhere.
        licence: What one may do with the pattern, paragraph by paragraph.
        language: Tag (BCP 47) of the language that the maker writes; empty when not said.
        wearer: Whom the garment is for; None when not said.
        cords: Whether it has cords or drawstrings.
        small_parts: Whether it has small parts that can come off, beside the buttons on its pieces.
        notions: What else to buy: thread, buttons, elastic.
        sewing: The order of sewing, step by step.
        finished: Measurements of the finished garment.
        cloths: What is known of the cloths.
    """

    address: str = ""
    licence: tuple[str, ...] = ()
    language: str = ""
    wearer: Wearer | None = None
    cords: bool = False
    small_parts: bool = False
    notions: tuple[str, ...] = ()
    sewing: tuple[str, ...] = ()
    finished: tuple[Finished, ...] = ()
    cloths: tuple[ClothFacts, ...] = ()

    def cloth(self, name: str) -> ClothFacts:
        """What is known of a cloth; nothing but its name when nothing was said."""
        known = {facts.cloth: facts for facts in self.cloths}
        return known.get(name) or ClothFacts(name)
