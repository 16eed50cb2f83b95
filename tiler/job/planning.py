"""Where the pieces lie on the pages: searched for, or laid by hand and kept in the pattern file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.forprinter import Fitted, fitted
from tiler.job.options import Surface
from tiler.job.progress import Progress
from tiler.job.surfaces import paper_of
from tiler.layout.packing.options import Packing

if TYPE_CHECKING:
    from tiler.job.editing import Edited
    from tiler.layout.papers import Paper
    from tiler.layout.plan import Plan
    from tiler.layout.tiles import PageSetup
    from tiler.pattern.model import Finding, Pattern


@dataclass(frozen=True)
class Asked:
    """What is asked of the layout.

    Args:
        packing: How to lay the pieces.
        styles: Names of the styles that are printed; empty for all.
        pieces: Names of the pieces that are printed; empty for all.
        lay_anew: Whether places that are kept in the pattern file do not count.
    """

    packing: Packing = field(default_factory=Packing)
    styles: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()
    lay_anew: bool = False


@dataclass(frozen=True)
class Planned:
    """A plan, and how it came about.

    Args:
        plan: What lies where.
        by_hand: Whether it lies on places that are kept in the pattern file.
        findings: What has to be told of that.
    """

    plan: Plan
    by_hand: bool = False
    findings: tuple[Finding, ...] = ()


def plan_pages(
    pattern: Pattern,
    surface: Surface,
    packing: Packing | None = None,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
) -> Plan:
    """Where `publish` lays the pieces.

    Args:
        pattern: As `read` gives it.
        surface: On what.
        packing: How to lay the pieces.
        progress: Told about the search.
        styles: Names of the styles to publish; empty for all, nested.

    Raises:
        BlocksheetError: The surface has no room, or there is no such style.
    """
    return plan_and_tell(pattern, surface, packing, progress, styles).plan


def plan_and_tell(
    pattern: Pattern,
    surface: Surface,
    packing: Packing | None = None,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
    *,
    lay_anew: bool = False,
) -> Planned:
    """The same with what has to be told; `lay_anew` as in `Asked`."""
    from tiler.drafting.paper import for_paper

    asked = Asked(packing or Packing(), tuple(styles), lay_anew=lay_anew)
    fit = fitted_for(surface)
    found = planned(for_paper(pattern, styles), surface, fit.setups, asked, progress)
    return replace(found, findings=(*fit.findings, *found.findings))


def fitted_for(surface: Surface) -> Fitted:
    """The ways in which the pages of a surface may be set up.

    Raises:
        BlocksheetError: There is no such paper or printer, or no room on it.
    """
    return fitted(surface, _setups(surface, paper_of(surface.paper)))


def planned(
    pattern: Pattern,
    surface: Surface,
    setups: Sequence[PageSetup],
    asked: Asked,
    progress: Progress | None,
) -> Planned:
    """Where the pieces lie.

    Args:
        pattern: As its sheets show it (`for_paper`).
        surface: On what.
        setups: What `fitted_for` makes of it.
        asked: What is asked of the layout.
        progress: Told about the search.
    """
    from tiler.job.laidbyhand import for_large
    from tiler.job.large import Large
    from tiler.layout.place import place

    paper = setups[0].paper
    if paper.large:
        large = Large(pattern, asked.pieces, surface, paper, asked.packing, progress)
        return Planned(large.plan(setups), findings=for_large(pattern.placed, paper))
    told = _best(progress, paper.name)
    by_hand, findings = (None, ()) if asked.lay_anew else _kept(pattern, setups, asked, told)
    return by_hand or Planned(place(pattern, setups, asked.packing, told), findings=findings)


def moved(
    plan: Plan, pattern: Pattern, piece: str, dx: float, dy: float, turn: float = 0.0
) -> Plan:
    """A plan with a piece moved by hand, and the one that is joined to it; see `move_by_hand`.

    Args:
        plan: Pages that are taped.
        pattern: As `read` gives it, or as its sheets show it.
        piece: Its name.
        dx: To the right on the plan, millimetres.
        dy: Up on the plan, millimetres.
        turn: Degrees anticlockwise.

    Raises:
        PaperError: The paper is large, and its pieces are not taped.
        PatternError: There is no such piece on the plan.
    """
    from tiler.layout.byhand import move_by_hand

    return move_by_hand(plan, pattern, piece, dx, dy, turn)


def look_over(plan: Plan, pattern: Pattern, packing: Packing | None = None) -> tuple[Finding, ...]:
    """Pieces that lie over one another (errors), too near, or apart though kept together.

    Args:
        plan: Pages that are taped, such as `moved` gives them.
        pattern: As for `moved`.
        packing: How near pieces may be.
    """
    from tiler.job.laidbyhand import looked_over
    from tiler.layout.byhand import units_on
    from tiler.layout.crowding import Lain

    lain = Lain(plan, units_on(plan, pattern))
    return tuple(looked_over(lain, pattern, (packing or Packing()).gap))


def keep_places(
    folder: Path,
    plan: Plan,
    surface: Surface,
    packing: Packing,
    based_on: str,
    styles: Sequence[str] = (),
) -> Edited:
    """Write where the pieces lie into the pattern file, for `publish` to lay them there.

    Places that were kept for the same paper, margin, overlap and styles are replaced.

    Args:
        folder: Of the pattern.
        plan: Pages that are taped, of this pattern on this surface.
        surface: On what.
        packing: How `publish` will be asked to lay the pieces.
        based_on: Version of the pattern file that the plan was made from.
        styles: Names of the styles that were chosen for the plan; empty for all.

    Raises:
        PatternError: Pieces lie over one another, or not as the packing asks.
        PaperError: The paper is large, or the plan is none of this surface.
        BlocksheetError: The pattern file cannot be changed.
    """
    from tiler.job.editing import edit
    from tiler.job.laidbyhand import against, joins_in, refuse_other_pages, refuse_over
    from tiler.layout.byhand import kept_places, refuse_untaped, units_on
    from tiler.layout.crowding import Lain
    from tiler.output.editing.placing import PlaceByHand
    from tiler.pattern.errors import PatternError

    refuse_untaped(plan)
    refuse_other_pages(plan.grid.setup, fitted_for(surface).setups)
    pattern = joins_in(folder)
    units = units_on(plan, pattern)
    refuse_over(Lain(plan, units))
    placed = kept_places(plan, pattern, tuple(styles))
    why = against(placed, plan, units, packing)
    if why:
        raise PatternError(why, remedy="Ask for something else, or move these pieces.")
    return edit(folder, PlaceByHand(placed), based_on)


def forget_places(
    folder: Path, surface: Surface, based_on: str, styles: Sequence[str] = ()
) -> Edited:
    """Take the places for a surface and choice of styles out of the pattern file.

    Raises:
        BlocksheetError: The pattern file cannot be changed.
    """
    from tiler.job.editing import edit
    from tiler.layout.byhand import kind_of
    from tiler.output.editing.placing import LayAnew

    return edit(folder, LayAnew(kind_of(fitted_for(surface).setups[0], styles)), based_on)


def _kept(
    pattern: Pattern,
    setups: Sequence[PageSetup],
    asked: Asked,
    told: Callable[[int, int, int], None] | None,
) -> tuple[Planned | None, tuple[Finding, ...]]:
    """The plan on kept places, where there are such; else what has to be told."""
    if not pattern.placed:
        return None, ()
    from tiler.job import laidbyhand
    from tiler.layout.byhand import units_on
    from tiler.layout.crowding import Lain
    from tiler.layout.relaying import relaid

    laidbyhand.refuse_unknown_papers(pattern.placed)
    found = laidbyhand.kept_for(pattern.placed, setups, asked.styles)
    if found is None:
        return None, laidbyhand.for_another(pattern.placed, setups)
    placed, setup = found
    laid = relaid(pattern, setup, placed, asked.packing, told)
    units = units_on(laid.plan, pattern)
    why = laidbyhand.against(placed, laid.plan, units, asked.packing)
    if why:
        return None, (laidbyhand.not_used(placed, why),)
    near = laidbyhand.looked_over(Lain(laid.plan, units), pattern, asked.packing.gap)
    return Planned(laid.plan, True, (*laidbyhand.told_of(laid, placed), *near)), ()


def _best(progress: Progress | None, paper: str) -> Callable[[int, int, int], None] | None:
    """Tells the fewest pages so far while pieces are laid."""
    if progress is None:
        return None

    def tell(pages: int, done: int, total: int) -> None:
        progress(f"laying on {paper}, {pages} pages so far", done, total)

    return tell


def _setups(surface: Surface, paper: Paper) -> list[PageSetup]:
    from tiler.layout.tiles import PageSetup

    if paper.roll:
        # How long it gets is found later; that its margins leave room is seen on a short piece.
        short = replace(paper, height=2 * paper.width)
        return [PageSetup(short, False, surface.margin, surface.overlap)]
    sides = {"auto": (False, True), "portrait": (False,), "landscape": (True,)}
    return [
        PageSetup(paper, landscape, surface.margin, surface.overlap)
        for landscape in sides[surface.orientation]
    ]
