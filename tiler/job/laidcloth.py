"""What one may say of the cloths of a pattern, and how its pieces came to lie on them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tiler.pattern.errors import ClothError

if TYPE_CHECKING:
    from tiler.layout.cloth.model import LayPlan, Need
    from tiler.pattern.model import Pattern
    from tiler.sheets.drawing import Drawing

SPREADS = ("auto", "folded", "single")


@dataclass(frozen=True)
class ClothWishes:
    """What the user says of the cloths; None stands for what the pattern says, or what is usual.

    Args:
        cloths: Names of the cloths to lay; empty for all.
        widths: As they are sold, selvedges included, millimetres; empty for the maker's width, and
            all common ones for comparison.
        spread: auto (whichever is shorter), folded or single.
        nap: Whether all pieces lie the same way up.
        shrinkage: What washing takes, along and across; 0.05 for 5 %.
        repeat: Of a check that is to match, along and across, millimetres; 0 for none.
        selvedge: What stays free along each selvedge, millimetres.
        gap: Least cloth between two pieces, millimetres.
        tilt: Degrees off the grain that are allowed.
        styles: Names of the styles to cut; empty for all, of which the largest counts.
    """

    cloths: tuple[str, ...] = ()
    widths: tuple[float, ...] = ()
    spread: str = "auto"
    nap: bool | None = None
    shrinkage: tuple[float, float] | None = None
    repeat: tuple[float, float] | None = None
    selvedge: float | None = None
    gap: float | None = None
    tilt: float = 0.0
    styles: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if self.spread not in SPREADS:
            raise ValueError(f"spread {self.spread!r} is none of {', '.join(SPREADS)}")


@dataclass(frozen=True)
class LaidWidth:
    """A cloth of one width.

    Args:
        width: As it is sold, millimetres.
        plan: How the pieces lie; None when they do not, or were not tried.
        other: The longer plan of cloth that lies the other way, where both were tried.
        refusal: Why they do not; None when they do, or when the work was stopped before.
    """

    width: float
    plan: LayPlan | None = None
    other: LayPlan | None = None
    refusal: ClothError | None = None


@dataclass(frozen=True)
class ClothLays:
    """A cloth in all widths that were asked for.

    Args:
        cloth: Its name.
        pattern: The pattern with the chosen styles.
        styles: Those that were chosen; empty for all.
        needs: What is cut from it.
        matched: The seams across which the check runs on.
        drawn: The widths that a picture is made of, the most carefully searched.
        compared: All widths, the narrowest first.
        assumed: What nobody has said, and is supposed: nap, shrinkage, repeat, selvedge.
        width_said: Whether the user or the maker has said how wide it is; else the width is drawn
            that takes the least cloth.
        stopped: Whether the work was interrupted.
    """

    cloth: str
    pattern: Pattern
    styles: tuple[str, ...]
    needs: tuple[Need, ...]
    matched: tuple[str, ...]
    drawn: tuple[LaidWidth, ...]
    compared: tuple[LaidWidth, ...]
    assumed: tuple[str, ...] = ()
    width_said: bool = True
    stopped: bool = False

    @property
    def plans(self) -> tuple[LayPlan, ...]:
        """Those that a picture is made of."""
        return tuple(laid.plan for laid in self.drawn if laid.plan)

    def beside(self, other: ClothLays) -> ClothLays:
        """The same, compared with more widths; what was laid here comes before the other's.

        Args:
            other: The same cloth and wishes, in other widths.
        """
        found = {laid.width: laid for laid in (*other.compared, *self.compared)}
        return replace(self, compared=tuple(found[width] for width in sorted(found)))

    def picture(
        self, plan: LayPlan, language: str = "en", within: tuple[float, float] | None = None
    ) -> Drawing:
        """A plan to scale, as `draw_lay_plan` draws it."""
        from tiler.sheets.layplan import draw_lay_plan

        return draw_lay_plan(
            plan, self.needs, self.pattern, styles=self.styles, language=language, within=within
        )
