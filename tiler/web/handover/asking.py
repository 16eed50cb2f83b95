"""What the forms ask for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.job import EFFORTS, JOINTS, Packing, Surface
from tiler.job.bundling import Giving
from tiler.job.cloth import WIDTHS
from tiler.job.notes import KINDS, NOTE_PAPERS, UNITS, NoteWishes
from tiler.job.surfaces import ROLL, paper_of
from tiler.pattern.errors import BlocksheetError, PaperError
from tiler.web.lengths import as_written, typed_length

if TYPE_CHECKING:
    from tiler.web.asking import Asked

#: Papers to choose from, the smallest first; those chosen at first are what friends have at home.
PAPERS = ("a4", "letter", "legal", "a3", "tabloid", "a2", "a1", "a0")
USUAL = ("a4", "letter")
#: Units of widths of rolls and cloth, which nobody counts in single millimetres.
WIDE_UNITS = {"mm": "cm", "in": "in"}


class FieldError(Exception):
    """Something is wrong with one field.

    Args:
        error: What.
        at: Its name.
    """

    def __init__(self, error: BlocksheetError, at: str) -> None:
        super().__init__(str(error))
        self.error, self.at = error, at


def surfaces_of(asked: Asked) -> tuple[Surface, ...]:
    """The papers.

    Raises:
        FieldError: None is chosen, or the roll is none.
    """
    papers = [paper for paper in asked.fields("paper") if paper in PAPERS]
    if asked.field("roll"):
        try:
            # What is no length at all is told in the words that were typed.
            typed_length(asked.field("roll"), _unit(asked))
            roll = ROLL + as_written(asked.field("roll"), _unit(asked))
            paper_of(roll)
        except BlocksheetError as wrong:
            raise FieldError(wrong, "roll") from None
        papers.append(roll)
    if not papers:
        error = PaperError("no paper is chosen", remedy="Choose what your friend can print on.")
        raise FieldError(error, "paper")
    joint = asked.field("joint", JOINTS[0])
    return tuple(
        Surface(paper, joint=joint if joint in JOINTS else JOINTS[0])
        for paper in dict.fromkeys(papers)
    )


def giving_of(asked: Asked) -> Giving:
    """What goes into the bundle.

    Raises:
        FieldError: A width of cloth that is none.
    """
    from tiler.job.giving import licence_in

    effort, units = asked.field("effort", "normal"), asked.field("units", "both")
    return Giving(
        language=asked.field("language"),
        private=bool(asked.field("private")),
        styles=tuple(dict.fromkeys(asked.fields("style"))),
        packing=Packing(effort if effort in EFFORTS else "normal"),
        cloth_widths=_cloth_widths(asked),
        licence=licence_in(asked.field("licence")) or None,
        units=units if units in UNITS else "both",
    )


def notes_of(asked: Asked, usual: str) -> NoteWishes:
    """How the notes are to be.

    Args:
        asked: The request, whose form or address says it.
        usual: The language where nothing is said.
    """

    def said(name: str, default: str) -> str:
        return asked.field(name) or asked.query(name, default)

    units, paper, kind = said("units", "both"), said("paper", "a4"), asked.field("kind", "pdf")
    return NoteWishes(
        language=said("language", usual).lower(),
        units=units if units in UNITS else "both",
        paper=paper if paper in NOTE_PAPERS else "a4",
        kinds=(kind,) if kind in KINDS else KINDS,
        private=bool(said("private", "")),
    )


def width_value(width: float) -> str:
    """A common width of cloth as its field sends it."""
    return f"{width:.1f}mm"


def _cloth_widths(asked: Asked) -> tuple[float, ...]:
    common = {width_value(width): width for width in WIDTHS}
    found = [common[each] for each in asked.fields("cloth_width") if each in common]
    if asked.field("cloth_other"):
        try:
            found.append(typed_length(asked.field("cloth_other"), _unit(asked)))
        except BlocksheetError as wrong:
            raise FieldError(wrong, "cloth_other") from None
    return tuple(dict.fromkeys(found))


def _unit(asked: Asked) -> str:
    return WIDE_UNITS[asked.settings.units]
