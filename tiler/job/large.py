"""Rolls and large sheets: whole pieces where they go, panels to be joined where they do not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from tiler.job.progress import Progress

if TYPE_CHECKING:
    from tiler.job.options import Surface
    from tiler.layout.packing.options import Packing
    from tiler.layout.papers import Paper
    from tiler.layout.plan import Plan
    from tiler.layout.tiles import PageSetup
    from tiler.pattern.model import Finding, Pattern

#: Parts of a search in which progress is told.
_PARTS = 1000
#: Lengths of a panel are tried down to this difference, millimetres.
_FINE = 25.0


@dataclass(frozen=True)
class Large:
    """How to lay a pattern on large paper.

    Args:
        pattern: All pieces.
        pieces: Names of those that are printed; empty for all.
        surface: What is asked for.
        paper: What that means; of a roll the width alone.
        packing: How to lay the pieces.
        progress: Told about long work.
    """

    pattern: Pattern
    pieces: tuple[str, ...]
    surface: Surface
    paper: Paper
    packing: Packing
    progress: Progress | None = None

    def plan(self, setups: Sequence[PageSetup]) -> Plan:
        """Where everything lies.

        Args:
            setups: The ways in which a sheet may lie; of a roll only the width counts.

        Raises:
            PaperError: A piece is too large for a roll, and nobody has asked for panels.
        """
        return self._on_roll() if self.paper.roll else self._on_sheets(setups)

    def _on_sheets(self, setups: Sequence[PageSetup]) -> Plan:
        from tiler.layout.place import place
        from tiler.layout.strip.pages import on_sheets

        plan = on_sheets(self._printed, setups, self.packing, self._head, self._whole_told())
        return plan or place(self.pattern, setups, self.packing, self._pages_told())

    def _on_roll(self) -> Plan:
        from tiler.layout.strip.pages import on_roll
        from tiler.pattern.errors import PaperError

        try:
            return on_roll(
                self._printed,
                self.paper,
                self.surface.margin,
                self.packing,
                self._head,
                self._whole_told(),
                one_length=self.surface.one_length,
            )
        except PaperError:
            if not self.surface.panels:
                raise
        return self._in_panels()

    def _in_panels(self) -> Plan:
        """The fewest panels of the roll, and of those the shortest."""
        from tiler.layout.place import place
        from tiler.pattern.units import LONGEST_SIDE

        hasty = replace(self.packing, effort="quick")
        least = self._panel(LONGEST_SIDE)
        fewest = len(place(self.pattern, [least], hasty).cells)
        low, high = self._shortest_panel, LONGEST_SIDE
        while high - low > _FINE:
            middle = (low + high) / 2
            if len(place(self.pattern, [self._panel(middle)], hasty).cells) <= fewest:
                high = middle
            else:
                low = middle
        plans = [
            place(self.pattern, [self._panel(high)], packing, self._pages_told())
            for packing in (hasty, self.packing)
        ]
        return min(plans, key=lambda plan: len(plan.cells))

    @property
    def _shortest_panel(self) -> float:
        """A page of the roll cannot be shorter, millimetres."""
        return max(300.0, 2 * self.surface.margin + 200.0)

    def _panel(self, length: float) -> PageSetup:
        from tiler.layout.tiles import PageSetup

        paper = replace(self.paper, height=float(round(length)))
        return PageSetup(paper, margin=self.surface.margin, overlap=self.surface.overlap)

    def _head(self, setup: PageSetup) -> float:
        from tiler.sheets.band import band_height

        return band_height(self._printed, setup)

    @cached_property
    def _printed(self) -> Pattern:
        """The pieces that are printed: whole ones need no places among the others."""
        if not self.pieces:
            return self.pattern
        kept = tuple(piece for piece in self.pattern.pieces if piece.name in self.pieces)
        return replace(self.pattern, pieces=kept)

    def _whole_told(self) -> Callable[[int, float, float], None] | None:
        if self.progress is None:
            return None
        progress, name, roll = self.progress, self.paper.name, self.paper.roll

        def tell(pages: int, length: float, share: float) -> None:
            reached = f"{pages * length / 1000:.2f} m" if roll else f"{pages} sheets"
            progress(f"laying on {name}, {reached} so far", round(share * _PARTS), _PARTS)

        return tell

    def _pages_told(self) -> Callable[[int, int, int], None] | None:
        if self.progress is None:
            return None
        progress, name = self.progress, self.paper.name

        def tell(pages: int, done: int, total: int) -> None:
            progress(f"laying on {name}, {pages} pages so far", done, total)

        return tell


def taped_findings(plan: Plan) -> tuple[Finding, ...]:
    """That pieces are in parts though the paper is large."""
    from tiler.pattern.model import Finding, Severity

    paper = plan.grid.setup.paper
    if plan.head is not None or not paper.large:
        return ()
    words = "A piece goes on no sheet whole in any turn, so pages are joined as smaller ones are."
    if paper.roll:
        words = "A piece is too large for the roll, so it comes in panels that are joined."
    return (Finding("in-parts", Severity.NOTE, paper.name, words),)
