"""Lays one cloth in the widths that were asked for, until it is told to stop."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, TypeVar

from tiler.job.laidcloth import ClothLays, ClothWishes, LaidWidth
from tiler.job.progress import Progress
from tiler.layout.packing.options import Packing
from tiler.pattern.errors import ClothError, NotProvenError, Terminated

if TYPE_CHECKING:
    from tiler.layout.cloth.model import Cloth, LayPlan, Match, Need, Spread
    from tiler.pattern.handover import ClothFacts
    from tiler.pattern.model import Pattern

#: Widths in which cloth is sold, millimetres: 90, 110, 140, 150 cm; 36, 44, 54, 60 in (common
#: practice, no source).
WIDTHS = (900.0, 1100.0, 1400.0, 1500.0, 36 * 25.4, 44 * 25.4, 54 * 25.4, 60 * 25.4)
#: How hard the widths are searched that are only told for comparison.
_COMPARED = "quick"
#: Where one way of spreading takes that many times as much as the other in brief, it is not
#: searched with more care. Our choice: more care is worth about a tenth.
_HOPELESS = 1.2
_T = TypeVar("_T")


@dataclass
class Hand:
    """Who lays: how hard, who is told, whether it is enough, whether it must come out again."""

    packing: Packing
    progress: Progress | None
    stopped: bool = False
    repeatable: bool = False

    def lay(
        self, needs: tuple[Need, ...], cloth: Cloth, matches: tuple[Match, ...], effort: str
    ) -> LayPlan | None:
        """One plan, checked; None when the work is stopped before there is one.

        Raises:
            ClothError: A piece does not fit.
            NotProvenError: The plan is wrong: something overlaps, lies off its grain or is missing.
        """
        from tiler.layout.cloth.checking import faults_of
        from tiler.layout.cloth.lay import lay_cloth

        if self.stopped:
            return None
        packing = replace(self.packing, effort=effort)
        try:
            plan = lay_cloth(
                needs, cloth, packing, self._tell(cloth), matches, repeatable=self.repeatable
            )
        except Terminated:
            raise
        except KeyboardInterrupt:
            self.stopped = True
            return None
        self.stopped = plan.stopped
        faults = faults_of(plan, needs, matches)
        if faults:
            raise NotProvenError(
                " ".join(str(fault) for fault in faults[:3]),
                where=f"cloth {cloth.name}",
                remedy="Nothing was written. Please report this: it is a fault of the tool.",
            )
        return plan

    def _tell(self, cloth: Cloth) -> Callable[[float, float], None] | None:
        progress = self.progress
        if progress is None:
            return None
        what = f"laying {cloth.name}, {width_word(cloth.width)} {cloth.spread.value}"

        def tell(length: float, share: float) -> None:
            progress(f"{what}, {length / 1000:.2f} m so far", round(100 * share), 100)

        return tell


@dataclass(frozen=True)
class ClothJob:
    """A cloth to lay."""

    pattern: Pattern
    needs: tuple[Need, ...]
    matches: tuple[Match, ...]
    wishes: ClothWishes
    facts: ClothFacts
    cloth: Cloth
    assumed: tuple[str, ...]

    @classmethod
    def of(cls, pattern: Pattern, name: str, wishes: ClothWishes) -> ClothJob:
        """With what the user says before what the maker says before what is usual.

        Raises:
            ClothError: No such cloth, nothing is cut from it, or a number cannot be.
        """
        from tiler.layout.cloth.demand import needs_of
        from tiler.layout.cloth.matches import matches_of
        from tiler.layout.cloth.model import GAP, SELVEDGE, Cloth

        facts = pattern.handover.cloth(name)
        said = {
            "nap": _first(wishes.nap, facts.nap),
            "shrinkage": _first(wishes.shrinkage, facts.shrinkage),
            "repeat": _first(wishes.repeat, facts.repeat),
            "selvedge": wishes.selvedge,
        }
        cloth = Cloth(
            name,
            WIDTHS[-1],
            selvedge=SELVEDGE if wishes.selvedge is None else wishes.selvedge,
            nap=bool(said["nap"]),
            shrinkage=_first(wishes.shrinkage, facts.shrinkage) or (0.0, 0.0),
            repeat=_first(wishes.repeat, facts.repeat) or (0.0, 0.0),
            gap=GAP if wishes.gap is None else wishes.gap,
            tilt=wishes.tilt,
        )
        for width in wishes.widths:
            replace(cloth, width=width)
        assumed = tuple(what for what, value in said.items() if value is None)
        needs = needs_of(pattern, name)
        laid = {need.piece for need in needs}
        matches = tuple(
            match
            for match in (matches_of(pattern) if any(cloth.repeat) else ())
            if match.first in laid and match.second in laid
        )
        return cls(pattern, needs, matches, wishes, facts, cloth, assumed)

    @property
    def widths(self) -> tuple[float, ...]:
        """Those that a picture is made of: the user's, or else the maker's."""
        made = () if self.facts.width is None else (self.facts.width,)
        return tuple(sorted(set(self.wishes.widths))) or made

    def laid(self, hand: Hand) -> ClothLays:
        """In all widths, without those that the work was stopped before.

        Raises:
            ClothError: A piece does not fit a width that was asked for.
        """
        effort = hand.packing.effort
        drawn = {width: self._wide(width, effort, hand) for width in self.widths}
        for laid in drawn.values():
            if laid.refusal:
                raise laid.refusal
        compared = dict(drawn)
        for width in () if self.wishes.widths else WIDTHS:
            if width not in compared:
                compared[width] = self._wide(width, _COMPARED, hand)
        if not drawn:
            best = _least(compared.values())
            if best:
                again = self._wide(best.width, effort, hand)
                drawn = {best.width: again if again.plan else best}
                compared |= drawn
        if not any(laid.plan for laid in drawn.values()):
            refusals = [laid.refusal for laid in compared.values() if laid.refusal]
            if refusals and not hand.stopped:
                raise refusals[-1]
        return ClothLays(
            self.cloth.name,
            self.pattern,
            self.wishes.styles,
            self.needs,
            tuple(match.seam for match in self.matches),
            tuple(drawn.values()),
            tuple(compared[width] for width in sorted(compared)),
            self.assumed,
            bool(self.widths),
            hand.stopped,
        )

    def _wide(self, width: float, effort: str, hand: Hand) -> LaidWidth:
        """The better way to spread a cloth of that width."""
        spreads = _spreads(self.wishes.spread)
        if len(spreads) == 1 or effort == _COMPARED:
            return self._tried(width, spreads, effort, hand)
        # Both in brief, so that an interrupt finds both; then with care what may come out best.
        brief = self._tried(width, spreads, _COMPARED, hand)
        plans = [plan for plan in (brief.plan, brief.other) if plan]
        if not plans:
            return brief
        worth = [p.cloth.spread for p in plans if p.to_buy <= _HOPELESS * plans[0].to_buy]
        careful = self._tried(width, worth, effort, hand)
        return _best(width, [*plans, *(p for p in (careful.plan, careful.other) if p)])

    def _tried(self, width: float, spreads: Sequence[Spread], effort: str, hand: Hand) -> LaidWidth:
        plans: list[LayPlan] = []
        refusal: ClothError | None = None
        for spread in spreads:
            cloth = replace(self.cloth, width=width, spread=spread)
            try:
                plan = hand.lay(self.needs, cloth, self.matches, effort)
            except ClothError as wrong:
                refusal = wrong
            else:
                plans += [plan] if plan else []
        if plans:
            return _best(width, plans)
        return LaidWidth(width, refusal=None if hand.stopped else refusal)


def _best(width: float, plans: Sequence[LayPlan]) -> LaidWidth:
    """The plan to cut from, and the best one that lies the other way.

    Of equals in the shop the folded one counts first: half the cutting.
    """
    from tiler.layout.cloth.model import Spread

    def worth(plan: LayPlan) -> tuple[float, bool, float]:
        return _price(plan), plan.cloth.spread is not Spread.FOLDED, plan.length

    best, *others = sorted(plans, key=worth)
    other = (plan for plan in others if plan.cloth.spread is not best.cloth.spread)
    return LaidWidth(width, best, next(other, None))


def _first(one: _T | None, other: _T | None) -> _T | None:
    """The first that was said."""
    return other if one is None else one


def _spreads(word: str) -> tuple[Spread, ...]:
    from tiler.layout.cloth.model import Spread

    return (Spread.FOLDED, Spread.SINGLE) if word == "auto" else (Spread(word),)


def _price(plan: LayPlan) -> float:
    """What has to be bought, millimetres."""
    from tiler.layout.cloth.buying import metric

    return metric(plan.to_buy)


def _least(every: Iterable[LaidWidth]) -> LaidWidth | None:
    """The width that takes the least cloth by its area."""
    plans = [laid for laid in every if laid.plan]
    return min(
        plans,
        key=lambda laid: _price(laid.plan) * laid.width if laid.plan else 0.0,
        default=None,
    )


def width_word(width: float) -> str:
    """A width as it is sold: ``150cm``, ``60in``, ``1372.5mm``."""
    if abs(width - round(width / 10) * 10) < 1e-6:
        return f"{round(width / 10)}cm"
    if abs(width / 25.4 - round(width / 25.4)) < 1e-6:
        return f"{round(width / 25.4)}in"
    return f"{width:g}mm"
