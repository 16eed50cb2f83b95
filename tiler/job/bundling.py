"""The files of a bundle, made one kind after the other."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.options import Surface
from tiler.job.private import stripped
from tiler.job.progress import Progress
from tiler.job.publishing import Published, publish
from tiler.layout.packing.options import Packing
from tiler.pattern.errors import ClothError

if TYPE_CHECKING:
    from tiler.job.laidcloth import ClothLays
    from tiler.output.bundle.firstread import BundleFacts
    from tiler.pattern.model import Finding, Pattern

#: Names in a bundle; `tiler.intake.sheetfile.reading` knows the folders of sheets and pattern.
FIRST, LICENCE = "READ-ME-FIRST.txt", "LICENCE.txt"
_NOTES, _LAYS = "notes/", "lay-plans/"


@dataclass(frozen=True)
class Giving:
    """What goes into a bundle, beside the pattern and its papers.

    Args:
        language: Tag of its language; empty for the maker's, where there are words in it.
        private: Whether it tells nothing of whose pattern it is, and does not hold the pattern.
        styles: Names of the styles to give; empty for all.
        packing: How to lay the pieces.
        cloth_widths: Widths of cloth to make lay plans for, millimetres; empty for the maker's.
        licence: What one may do with the pattern, paragraph by paragraph; None for what the
            pattern says.
        units: mm, inch or both.
    """

    language: str = ""
    private: bool = False
    styles: tuple[str, ...] = ()
    packing: Packing = field(default_factory=Packing)
    cloth_widths: tuple[float, ...] = ()
    licence: tuple[str, ...] | None = None
    units: str = "both"


class Bundling:
    """Makes the files.

    Args:
        pattern: As `read` gives it.
        giving: What goes into the bundle.
        language: One of those that a bundle can speak.
        room: A folder to work in.
        progress: Told about long work.
    """

    def __init__(
        self,
        pattern: Pattern,
        giving: Giving,
        language: str,
        room: Path,
        progress: Progress | None,
    ) -> None:
        self.pattern, self.giving, self.language = pattern, giving, language
        self.told = stripped(pattern) if giving.private else pattern
        self.room, self.progress = room, progress
        self.made: dict[str, bytes] = {}
        self.sheets: list[Published] = []
        self.lays: list[ClothLays] = []
        self.findings: list[Finding] = []

    def files(self, surfaces: Sequence[Surface]) -> dict[str, bytes]:
        """Path in the bundle -> content, the page to be read first in front."""
        from tiler.intake.sheetfile.reading import PATTERN_FOLDER
        from tiler.intake.sheetfile.sums import SUMS
        from tiler.output.bundle.firstread import first_read
        from tiler.output.bundle.sums import sums_of
        from tiler.output.bundle.texts import licence_text

        self._sheets(surfaces)
        lays = self._lay_plans()
        notes = self._notes(surfaces)
        if not self.giving.private:
            for source in self.pattern.sources:
                self.made[PATTERN_FOLDER + source.name] = source.content
        first = first_read(self.told, self._facts(notes, lays, SUMS), self.language)
        licence = licence_text(self.told.handover.licence, self.told.title, self.language)
        files = {FIRST: first, LICENCE: licence}
        files |= {name: self.made[name] for name in sorted(self.made)}
        return files | {SUMS: sums_of(files)}

    def _sheets(self, surfaces: Sequence[Surface]) -> None:
        from tiler.intake.sheetfile.reading import SHEETS_FOLDER
        from tiler.job.surfaces import file_word
        from tiler.output.bundle.names import free_name, plain_name

        giving = self.giving
        results = publish(
            self.pattern,
            surfaces,
            self.room,
            self.progress,
            giving.styles,
            packing=giving.packing,
            private=giving.private,
        )
        words = [plain_name(self.told.title, "pattern")]
        words += [plain_name(style, "style") for style in giving.styles]
        for result in results:
            paper = plain_name(file_word(result.plan.grid.setup.paper), "sheet")
            name = free_name(f"{SHEETS_FOLDER}{'-'.join((*words, paper))}.pdf", self.made)
            self.made[name] = result.file.read_bytes()
            self.findings += result.findings
            verdict = replace(result.verdict, file=Path(name))
            self.sheets.append(replace(result, file=Path(name), verdict=verdict))

    def _lay_plans(self) -> tuple[str, ...]:
        """The paths of the plans to print; each is there to be looked at on a screen as well."""
        from tiler.job.cloth import cloths_of, lay_plans, width_word
        from tiler.job.laidcloth import ClothWishes
        from tiler.output.bundle.names import free_name, plain_name
        from tiler.output.bundle.texts import drawn_language
        from tiler.output.picture import write_picture
        from tiler.sheets.layplan import lay_plan_page

        giving = self.giving
        for cloth in cloths_of(self.told):
            made = self.told.handover.cloth(cloth).width
            # The widths that a table would compare with the maker's are in no bundle.
            widths = giving.cloth_widths or (() if made is None else (made,))
            wishes = ClothWishes((cloth,), widths, styles=giving.styles)
            try:
                self.lays += lay_plans(
                    self.told, wishes, giving.packing, self.progress, repeatable=True
                )
            except ClothError as wrong:
                if giving.cloth_widths:
                    raise
                self.findings.append(_not_laid(cloth, wrong))
        self.findings += [_stopped(lay.cloth) for lay in self.lays if lay.stopped]
        language, printed = drawn_language(self.language, "cloth.toml"), []
        for lay in self.lays:
            for plan in lay.plans:
                page = lay_plan_page(
                    plan, lay.needs, lay.pattern, styles=lay.styles, language=language
                )
                stem = f"{plain_name(lay.cloth, 'cloth')}-{width_word(plan.cloth.width)}"
                name = free_name(f"{_LAYS}{stem}.pdf", self.made)
                printed.append(name)
                for kind in ("pdf", "svg"):
                    picture = self.room / f"plan.{kind}"
                    write_picture(page, self.told.title, picture)
                    self.made[f"{name.removesuffix('.pdf')}.{kind}"] = picture.read_bytes()
        return tuple(printed)

    def _notes(self, surfaces: Sequence[Surface]) -> str:
        """The path of the notes to print."""
        from tiler.job.letters import unprintable_findings
        from tiler.job.notes import lay_facts, print_facts
        from tiler.output.notes import notes_of
        from tiler.sheets.notes.facts import NoteFacts, Units

        facts = NoteFacts(
            prints=tuple(print_facts(sheet, self.told) for sheet in self.sheets),
            lays=tuple(each for lay in self.lays for each in lay_facts(lay, self.language)),
            private=self.giving.private,
            surfaces=tuple(surface.paper for surface in surfaces),
        )
        units, paper = Units(self.giving.units), _notes_paper(surfaces)
        notes = notes_of(self.told, facts, self.language, units, paper, "pictures")
        self.findings += unprintable_findings(notes.text)
        self.made[f"{_NOTES}notes.md"] = notes.markdown.encode()
        self.made[f"{_NOTES}notes.html"] = notes.html.encode()
        self.made[f"{_NOTES}notes.pdf"] = notes.pdf
        for name, content in notes.pictures:
            self.made[_NOTES + name] = content
        return f"{_NOTES}notes.pdf"

    def _facts(self, notes: str, lays: tuple[str, ...], sums: str) -> BundleFacts:
        from tiler.output.bundle.firstread import BundleFacts, SheetFacts

        sheets = tuple(
            SheetFacts(
                str(each.file.as_posix()),
                each.plan.grid.setup.paper.name.removeprefix("roll "),
                each.front,
                each.pages,
                each.verdict.worst,
                each.plan.grid.setup.paper.roll,
            )
            for each in self.sheets
        )
        return BundleFacts(sheets, notes, lays, sums, self._goes_on())

    def _goes_on(self) -> str:
        """What makes sheets on other paper: the folder, or the one drawing in it."""
        from tiler.intake.patternfile import PATTERN_FILE
        from tiler.intake.sheetfile.reading import PATTERN_FOLDER

        if self.giving.private:
            return ""
        names = [source.name for source in self.pattern.sources]
        if PATTERN_FILE in names:
            return PATTERN_FOLDER.rstrip("/")
        path = f"{PATTERN_FOLDER}{names[0]}"
        # Double quotes, which all shells take; names that hold them are refused.
        return f'"{path}"' if re.search(r"[^\w./-]", path) else path


def _not_laid(cloth: str, wrong: ClothError) -> Finding:
    """Sheets and notes do without a lay plan; that there is none is told."""
    from tiler.pattern.model import Finding, Severity

    text = f"There is no lay plan for it: {wrong}"
    return Finding("no-lay-plan", Severity.WARNING, f"cloth {cloth}" if cloth else "", text)


def _stopped(cloth: str) -> Finding:
    from tiler.pattern.model import Finding, Severity

    text = "Stopped early: its lay plan is the best that was found until then."
    return Finding("stopped", Severity.NOTE, f"cloth {cloth}" if cloth else "", text)


def _notes_paper(surfaces: Sequence[Surface]) -> str:
    """What the notes are set on: Letter where there is that and no A4."""
    papers = [surface.paper.strip().lower() for surface in surfaces]
    return "letter" if "letter" in papers and "a4" not in papers else "a4"
