"""What the notes tell of the whole pattern: cloth, notions, measurements, styles."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.handover import Finished
from tiler.pattern.model import Pattern
from tiler.sheets.notes.quoting import Quoted
from tiler.sheets.notes.words import WordTable, languages, words_of

#: So many measurements stand on the cover.
_CHIEF = 3


@dataclass(frozen=True)
class ClothTold:
    """One cloth: its name, what suits and what does not, and what is known of it.

    `shrinkage` is along and across, 0.05 for 5 %; `repeat` is millimetres, along and across.
    """

    name: Quoted
    suits: Quoted
    avoid: Quoted
    width: float | None
    nap: bool | None
    shrinkage: tuple[float, float] | None
    repeat: tuple[float, float] | None
    stretch: float | None


@dataclass(frozen=True)
class MeasureTold:
    """A measurement of the finished garment.

    Args:
        name: The name in the reader's language where it is one of ISO 8559-1, else the maker's.
        standard: Whether it is one of those.
        lengths: For each style of `Measures.styles`, millimetres, or None.
    """

    name: str | Quoted
    standard: bool
    lengths: tuple[float | None, ...]

    @property
    def same(self) -> float | None:
        """The length, where it is the same for all styles."""
        found = set(self.lengths)
        return self.lengths[0] if len(found) == 1 else None


@dataclass(frozen=True)
class Measures:
    """All measurements, and the styles that they are told for (one, empty, without styles)."""

    styles: tuple[Quoted, ...]
    rows: tuple[MeasureTold, ...]

    @property
    def standard(self) -> bool:
        """Whether any of them is one of ISO 8559-1."""
        return any(row.standard for row in self.rows)

    @property
    def chief(self) -> tuple[MeasureTold, ...]:
        """A few that all styles have in common, for the cover: those of the standard, if any."""
        common = [row for row in self.rows if row.same is not None]
        standard = [row for row in common if row.standard]
        return tuple((standard or common)[:_CHIEF])


def cloths_told(pattern: Pattern) -> tuple[ClothTold, ...]:
    """Every cloth that is named, in the maker's order."""
    named = [name for name, _ in pattern.cloths]
    named += [cut.cloth for piece in pattern.pieces for cut in piece.cuts if cut.cloth]
    named += [facts.cloth for facts in pattern.handover.cloths]
    about, stretch = dict(pattern.cloths), dict(pattern.cloth_stretch)
    told = []
    for name in dict.fromkeys(named):
        facts = pattern.handover.cloth(name)
        told.append(
            ClothTold(
                Quoted(name),
                Quoted(about.get(name, "")),
                Quoted(facts.avoid),
                facts.width,
                facts.nap,
                facts.shrinkage,
                facts.repeat,
                stretch.get(name),
            )
        )
    return tuple(told)


def measures_told(pattern: Pattern, words: WordTable) -> Measures:
    """The finished measurements, a row for each name.

    Args:
        pattern: Its `styles` are those that are told.
        words: Of the reader's language.
    """
    finished = pattern.handover.finished
    known = {name for name, _ in pattern.styles}
    own = [each for each in finished if not each.style or each.style in known]
    several = [name for name, _ in pattern.styles if any(each.style for each in own)]
    columns = several or [""]
    rows = []
    for name in dict.fromkeys(each.name for each in own):
        lengths = tuple(_length([e for e in own if e.name == name], style) for style in columns)
        rows.append(_row(name, lengths, pattern.handover.language, words))
    return Measures(tuple(map(Quoted, columns)), tuple(rows))


def _length(finished: list[Finished], style: str) -> float | None:
    lengths = {each.style: each.length for each in finished}
    return lengths.get(style, lengths.get(""))


def _row(
    name: str, lengths: tuple[float | None, ...], language: str, words: WordTable
) -> MeasureTold:
    key = standard_measure(name, language)
    if not key:
        return MeasureTold(Quoted(name), False, lengths)
    return MeasureTold(str(words["measure"][key][0]), True, lengths)


def standard_measure(name: str, language: str) -> str:
    """Which measurement of ISO 8559-1 a name in the maker's language means; empty for none.

    Args:
        name: As the maker writes it.
        language: Tag of the language; empty when not said.
    """
    wanted = " ".join(name.lower().replace("-", " ").split())
    primary = language.split("-")[0].lower()
    tongues = [primary] if primary in languages() else list(languages()) if not language else []
    for tongue in tongues:
        for key, names in words_of(tongue)["measure"].items():
            if wanted in (" ".join(n.lower().replace("-", " ").split()) for n in names):
                return str(key)
    return ""
