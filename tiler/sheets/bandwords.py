"""What the head of a large sheet says: of the paper, for the print shop, of each piece."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from tiler.layout.plan import Plan
from tiler.layout.strip.pages import LEAST_BAR
from tiler.layout.tiles import PageSetup
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.units import MM_PER_INCH, format_inch, format_mm
from tiler.sheets.bars import bar_lengths
from tiler.sheets.label import how_to_cut, state_words
from tiler.sheets.words import say

#: Of a roll whose length nobody knows yet, the longest that is likely, millimetres.
_LONG = 99_990.0
#: Stands for the number of a sheet that nobody knows yet.
_ANY = 99


@dataclass(frozen=True)
class Entry:
    """One piece in the list: its number, name, how to cut it, and the maker's notes."""

    number: int
    name: str
    cuts: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Facts:
    """The words that depend on the layout.

    Args:
        about_paper: What the pattern is printed on, and how well the paper is used.
        true: How to check the size.
        shop: What the print shop is asked to do.
        pieces: What to cut.
    """

    about_paper: tuple[str, ...]
    true: tuple[str, ...]
    shop: tuple[str, ...]
    pieces: tuple[Entry, ...]

    @classmethod
    def of(cls, pattern: Pattern, plan: Plan) -> Facts:
        """The words for a plan that has been laid.

        Args:
            pattern: What is published, whole.
            plan: Where that lies which is printed.
        """
        numbers = {block: number for number, block in enumerate(plan.grid.blocks, start=1)}
        sheets = {}
        for placement in plan.placements:
            middle = placement.piece.bounds.moved(placement.at).centre
            for cell in plan.cells:
                left, bottom, right, top = plan.grid.window(cell)
                if left <= middle.x <= right and bottom <= middle.y <= top:
                    sheets[placement.piece.name] = numbers[plan.grid.block_of(cell)]
        several = len(plan.cells) > 1
        names = [piece.name for piece in pattern.pieces]
        about = [_paper(plan.grid.setup, len(plan.cells)), *_printer(plan.grid.setup)]
        if len(plan.placements) < len(names):
            chosen = ", ".join(placement.piece.name for placement in plan.placements)
            about.append(say("start_only", pieces=chosen))
        elif plan.spent:
            share, naive = round(100 * plan.spent.share), _naive(plan)
            about.append(say("band_share", share=share, naive=naive))
        pieces = tuple(
            _entry(
                placement.piece,
                pattern,
                names.index(placement.piece.name) + 1,
                sheets.get(placement.piece.name) if several else None,
            )
            for placement in plan.placements
        )
        return cls(tuple(about), _true(plan.grid.setup), _shop(plan.grid.setup), pieces)

    @classmethod
    def widest(cls, pattern: Pattern, setup: PageSetup) -> Facts:
        """Words that take no less room than those that a plan will have.

        Args:
            pattern: What is printed.
            setup: The paper; a roll counts as very long.
        """
        if setup.paper.roll:
            longest = replace(setup.paper, height=_LONG)
            setup = replace(setup, paper=longest)
        naive = length_words(_LONG) if setup.paper.roll else say("band_naive_sheets", count=_ANY)
        share = say("band_share", share=_ANY, naive=naive)
        about = (_paper(setup, _ANY), *_printer(setup), share)
        pieces = tuple(
            _entry(piece, pattern, number, _ANY)
            for number, piece in enumerate(pattern.pieces, start=1)
        )
        return cls(about, _true(setup), _shop(setup), pieces)


def length_words(length: float) -> str:
    """Metres and inches of paper, such as ``2.35 m (92 1/2 in)``."""
    return f"{length / 1000:.2f} m ({format_inch(length, 2)})"


def _paper(setup: PageSetup, pages: int) -> str:
    facts: dict[str, Any] = {
        "paper": setup.words,
        "pages": pages,
        "length": length_words(setup.height),
    }
    if setup.paper.roll:
        return say("band_roll" if pages == 1 else "band_rolls", **facts)
    return say("band_sheet" if pages == 1 else "band_sheets", **facts)


def _printer(setup: PageSetup) -> Iterator[str]:
    """For whom the sheets are alone, where they make up for a printer's error."""
    if setup.printer:
        across, up = (
            f"{100 * (scale - 1):+.2f} %" for scale in (setup.printer.across, setup.printer.up)
        )
        yield say("band_printer", printer=setup.printer.name, across=across, up=up)


def _naive(plan: Plan) -> str:
    assert plan.spent is not None
    if plan.grid.setup.paper.roll:
        return length_words(plan.spent.naive_length)
    count = plan.spent.naive_pages
    return say("band_naive_sheet" if count == 1 else "band_naive_sheets", count=count)


def _true(setup: PageSetup) -> tuple[str, ...]:
    across, up = (format_mm(length, 0) for length in bar_lengths(setup))
    return (
        say("band_true_1"),
        say("band_true_2", across=across, up=up),
        say("band_true_3"),
    )


def _shop(setup: PageSetup) -> tuple[str, ...]:
    size = say(
        "band_shop_2",
        width=f"{setup.width:.0f}",
        height=f"{setup.height:.0f}",
        width_in=f"{setup.width / MM_PER_INCH:.1f}",
        height_in=f"{setup.height / MM_PER_INCH:.1f}",
    )
    across, up = bar_lengths(setup)
    if across >= LEAST_BAR:
        bar = say("band_shop_3")
    elif up >= LEAST_BAR:
        bar = say("band_shop_up")
    else:
        bar = say("band_shop_3_whole", bar=format_mm(across, 0))
    return say("band_shop_1"), size, bar


def _entry(piece: Piece, pattern: Pattern, number: int, sheet: int | None) -> Entry:
    cuts = [*how_to_cut(piece), *state_words(piece, pattern, short=True)]
    if sheet is not None:
        cuts.append(say("band_on_sheet", number=sheet))
    return Entry(number, piece.name, tuple(cuts), piece.notes)
