"""How much cloth to buy: lay plans of a pattern on cloths of several widths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.laidcloth import SPREADS, ClothLays, ClothWishes, LaidWidth
from tiler.job.laying import WIDTHS, ClothJob, Hand, width_word
from tiler.job.progress import Progress
from tiler.layout.packing.options import Packing
from tiler.pattern.errors import ClothError, StoppedError

if TYPE_CHECKING:
    from tiler.layout.cloth.model import LayPlan
    from tiler.pattern.model import Pattern

__all__ = [
    "KINDS",
    "SPREADS",
    "WIDTHS",
    "ClothLays",
    "ClothWishes",
    "LaidWidth",
    "cloths_of",
    "file_name",
    "lay_plans",
    "plan_language",
    "width_word",
    "without_cloth",
    "write_lay_plans",
]

KINDS = ("pdf", "svg", "png")


def lay_plans(
    pattern: Pattern,
    wishes: ClothWishes | None = None,
    packing: Packing | None = None,
    progress: Progress | None = None,
    *,
    repeatable: bool = False,
) -> list[ClothLays]:
    """Lay the pieces of a pattern on each of its cloths.

    An interrupt (Ctrl-C) ends the search and keeps the best so far; what was not reached has no
    plan.

    Args:
        pattern: As `read` gives it.
        wishes: What is said of the cloths.
        packing: Effort and seed.
        progress: Told about long work.
        repeatable: Whether the same plans have to come out again on any machine; without it they
            may be a little shorter.

    Raises:
        BlocksheetError: There is no such cloth or style, no piece is cut from it, a piece does not
            fit a width that was asked for, or a number cannot be.
        NotProvenError: A plan that does not hold, which is a fault of the tool.
        StoppedError: Interrupted before there was anything to keep.
    """
    from tiler.drafting.styles.chosen import only_styles

    wishes = wishes or ClothWishes()
    chosen = only_styles(pattern, wishes.styles) if wishes.styles else pattern
    names = wishes.cloths or tuple(cloths_of(chosen))
    if not names:
        raise ClothError(
            "nobody has said what its pieces are cut from",
            where=pattern.title,
            remedy='Say so in the pattern file, such as cut = { count = 2, cloth = "main", lay = '
            '"pair" }.',
        )
    hand = Hand(packing or Packing(), progress, repeatable=repeatable)
    # All that can be refused is refused before the long work.
    jobs = [ClothJob.of(chosen, name, wishes) for name in dict.fromkeys(names)]
    found = [job.laid(hand) for job in jobs]
    if not any(lays.plans for lays in found):
        raise StoppedError("stopped before the first plan was found", where=pattern.title)
    return found


def cloths_of(pattern: Pattern) -> Iterator[str]:
    """The cloths that pieces are cut from, in the pattern's order."""
    cut = dict.fromkeys(cut.cloth for piece in pattern.pieces for cut in piece.cuts)
    yield from (name for name, _ in pattern.cloths if name in cut)
    yield from (name for name in cut if name not in dict(pattern.cloths))


def plan_language(tag: str) -> str:
    """The language of lay plans, by its tag.

    Raises:
        ClothError: There are no lay plans in it.
    """
    from tiler.sheets.words import languages_with

    known = languages_with("cloth.toml")
    wanted = tag.strip().lower()
    if wanted not in known:
        raise ClothError(
            f"there are no lay plans in the language {tag!r}",
            remedy=f"Use one of {', '.join(known)}.",
        )
    return wanted


def without_cloth(pattern: Pattern) -> tuple[str, ...]:
    """The pieces that are on no plan, since nobody has said what they are cut from."""
    return tuple(piece.name for piece in pattern.pieces if not piece.cuts)


def write_lay_plans(
    lays: Sequence[ClothLays], source: Path, out: Path, kind: str = "pdf", language: str = "en"
) -> list[Path]:
    """Write a picture of each plan.

    Args:
        lays: What `lay_plans` has found.
        source: Where the pattern was read from; its own files are never written over.
        out: The folder for the files.
        kind: One of `KINDS`.
        language: Of the words.

    Returns:
        The files, in the order of `lays` and their plans.

    Raises:
        FileError: It cannot be written, or a file of another pattern is in the way.
    """
    from tiler.job.naming import refuse_other
    from tiler.job.reading import refuse_own
    from tiler.output.picture import write_picture
    from tiler.output.safely import writable
    from tiler.sheets.layplan import lay_plan_page

    writable(out)
    files: list[Path] = []
    for lay in lays:
        for plan in lay.plans:
            target = _free(out / f"{file_name(lay, plan)}.{kind}", files)
            refuse_own(lay.pattern, source, target)
            if kind == "pdf":
                refuse_other(lay.pattern, target)
            page = lay_plan_page(plan, lay.needs, lay.pattern, styles=lay.styles, language=language)
            write_picture(page, lay.pattern.title, target)
            files.append(target)
    return files


def _free(target: Path, taken: Sequence[Path]) -> Path:
    """The path, or with a number where it is taken: names of cloths may differ in signs alone."""
    number, free = 1, target
    while free in taken:
        number += 1
        free = target.with_name(f"{target.stem}-{number}{target.suffix}")
    return free


def file_name(lay: ClothLays, plan: LayPlan) -> str:
    """What the picture of a plan is called, without ending."""
    from tiler.job.naming import file_stem

    words = (lay.pattern.title, *lay.styles, "lay", lay.cloth)
    return file_stem(words, f"-{width_word(plan.cloth.width)}-{plan.cloth.spread.value}")
