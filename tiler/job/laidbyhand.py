"""Places that are kept in the pattern file: which are meant, and what has to be told of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.pattern.model import Finding, Severity
from tiler.pattern.units import format_mm

if TYPE_CHECKING:
    from tiler.layout.crowding import Lain
    from tiler.layout.packing.options import Packing
    from tiler.layout.papers import Paper
    from tiler.layout.plan import Plan
    from tiler.layout.relaying import Relaid
    from tiler.layout.spots import Unit
    from tiler.layout.tiles import PageSetup
    from tiler.pattern.model import Pattern
    from tiler.pattern.placed import Placed

#: So much line (millimetres) along joints is worth a word.
_ALONG = 40.0
_ANEW = "so the pieces were laid anew"


def kept_for(
    kept: Sequence[Placed], setups: Sequence[PageSetup], styles: Sequence[str]
) -> tuple[Placed, PageSetup] | None:
    """The places for what is asked, with the paper as it lies for them; None where none are kept.

    Args:
        kept: All places that the pattern file keeps.
        setups: The ways in which the paper may lie.
        styles: Names of the chosen styles; empty for all.
    """
    from tiler.layout.byhand import kind_of

    for placed in kept:
        for setup in setups:
            if placed.kind == kind_of(setup, styles) and placed.landscape == setup.landscape:
                return placed, setup
    return None


def refuse_unknown_papers(kept: Sequence[Placed]) -> None:
    """See that places are kept for papers that there are.

    Raises:
        PaperError: They are not.
    """
    from tiler.layout.papers import find_paper
    from tiler.pattern.errors import PaperError

    for placed in kept:
        try:
            find_paper(placed.on)
        except PaperError as wrong:
            raise wrong.within(placed.where) from None


def for_another(kept: Sequence[Placed], setups: Sequence[PageSetup]) -> tuple[Finding, ...]:
    """That places are kept for the same paper, and not for all else that is asked."""
    name = setups[0].paper.name
    return tuple(
        Finding(
            "placed-for-another",
            Severity.NOTE,
            placed.where,
            f"Places are kept for {_kind(placed, name)}. Something else was asked for, {_ANEW}.",
        )
        for placed in kept
        if placed.on == name.lower()
    )


def for_large(kept: Sequence[Placed], paper: Paper) -> tuple[Finding, ...]:
    """That places are kept for paper on which pieces are not laid by hand."""
    return tuple(
        Finding(
            "placed-on-large",
            Severity.WARNING,
            placed.where,
            f"Places are for pages that are taped, and not for {paper.name}, {_ANEW}.",
        )
        for placed in kept
        if placed.on == paper.name.lower()
    )


def against(placed: Placed, plan: Plan, units: Sequence[Unit], packing: Packing) -> str:
    """Why places are not what is asked of the layout; empty when they are.

    Args:
        placed: The places.
        plan: The plan on them.
        units: What is placed as one on it.
        packing: What is asked.
    """
    from tiler.layout.crowding import Lain

    if not packing.turn:
        turned = [each.piece for each in placed.pieces if each.turn]
        if turned:
            return f"The places turn {_listed(turned)}, and no piece is to be turned"
    if packing.small_whole:
        split = [_name(units[k]) for k in Lain(plan, units).split()]
        if split:
            return (
                f"The places lay {_listed(split)} over a joint, and a piece that fits on a page is "
                "to stay whole"
            )
    return ""


def not_used(placed: Placed, why: str) -> Finding:
    """That places were not used."""
    return Finding("placed-not-used", Severity.WARNING, placed.where, f"{why}, {_ANEW}.")


def told_of(relaid: Relaid, placed: Placed) -> Iterator[Finding]:
    """What has changed since the places were kept."""
    beside = (
        "so it was laid beside, on pages of its own. Move it by hand, or lay all pieces anew with "
        "--lay-anew."
    )
    for name in relaid.new:
        words = f"No place is kept for it, {beside}"
        yield Finding("placed-new", Severity.WARNING, f"piece {name}", words)
    for name, other in relaid.pushed:
        words = f"On the place that is kept for it, it would lie over {other}, {beside}"
        yield Finding("placed-over", Severity.WARNING, f"piece {name}", words)
    for name in relaid.gone:
        words = f'A place is kept for "{name}", which is not printed here.'
        yield Finding("placed-gone", Severity.NOTE, placed.where, words)


def looked_over(lain: Lain, pattern: Pattern, gap: float) -> Iterator[Finding]:
    """Pieces that lie over one another, too near, along joints, or apart from where they belong.

    Args:
        lain: The units as they lie.
        pattern: Which pieces belong together.
        gap: Least free paper between two of them, millimetres.
    """
    for pair in lain.close(gap):
        one, other = _name(lain.units[pair.one]), _name(lain.units[pair.other])
        if pair.over:
            words = f"It lies over {other}. Move one of them before you publish."
            yield Finding("placed-over", Severity.ERROR, f"piece {one}", words)
        else:
            words = (
                f"{format_mm(pair.apart)} from {other}, nearer than the gap of {format_mm(gap)}."
            )
            yield Finding("placed-close", Severity.NOTE, f"piece {one}", f"It lies {words}")
    for unit, length in zip(lain.units, lain.along_joints(), strict=True):
        if length >= _ALONG:
            words = (
                f"{format_mm(length, 0)} of its lines run along a joint, where they are cut away "
                "with the paper, or taken for it. Move it by 5 mm."
            )
            yield Finding("placed-on-joint", Severity.NOTE, f"piece {_name(unit)}", words)
    for group in lain.parted(pattern):
        words = f"{_listed(group)} are to be kept together, and they share no page."
        yield Finding("placed-apart", Severity.WARNING, "keep_together", words)


def refuse_other_pages(setup: PageSetup, setups: Sequence[PageSetup]) -> None:
    """See that a plan's pages are those of a surface.

    Raises:
        PaperError: They are not.
    """
    from tiler.layout.byhand import kind_of
    from tiler.pattern.errors import PaperError

    kinds = [(kind_of(each, ()), each.landscape) for each in setups]
    if (kind_of(setup, ()), setup.landscape) not in kinds:
        raise PaperError(
            "the plan is for another paper, margin or overlap than is to be published",
            where=setup.words,
            remedy="Plan the pages anew.",
        )


def joins_in(folder: Path) -> Pattern:
    """What the pattern file says of pieces that are joined."""
    from tiler.intake.files import content_of, inside
    from tiler.intake.folder import PATTERN_FILE_LIMIT
    from tiler.intake.patternfile import PATTERN_FILE, parse_pattern_file
    from tiler.pattern.model import Pattern

    words = parse_pattern_file(content_of(inside(folder, PATTERN_FILE), PATTERN_FILE_LIMIT))
    return Pattern(words.title, (), joined=words.joined)


def refuse_over(lain: Lain) -> None:
    """See that no pieces lie over one another.

    Raises:
        PatternError: They do; with the names of all that do.
    """
    from tiler.pattern.errors import PatternError

    pairs = [
        f"{_name(lain.units[pair.one])} over {_name(lain.units[pair.other])}"
        for pair in lain.close(0.0)
        if pair.over
    ]
    if pairs:
        raise PatternError(
            "pieces lie over one another",
            where=", ".join(pairs),
            remedy="Move them apart: paper can be cut only once.",
        )


def _kind(placed: Placed, paper: str) -> str:
    way = "landscape" if placed.landscape else "portrait"
    styles = f"the style {_listed(placed.styles)}" if placed.styles else "all styles"
    margin, overlap = format_mm(placed.margin, 2), format_mm(placed.overlap, 2)
    return f"{paper} {way}, a margin of {margin}, an overlap of {overlap} and {styles}"


def _name(unit: Unit) -> str:
    return " and ".join(piece.name for piece in unit)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
