"""What a publication has become, in a few lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.cli.telling import tell

if TYPE_CHECKING:
    from tiler.job import Published
    from tiler.layout.plan import Plan


def tell_published(result: Published) -> None:
    """Pages, sheets and sizes; how good the layout is; what the proof found."""
    plan = result.plan
    tell(
        f"{result.file}: {_counted(result.front, 'front page')} and "
        f"{_counted(result.pages, 'pattern page')}, {plan.grid.setup.words}; {_taped(plan)}"
    )
    if plan.tally and result.pages == len(plan.cells):
        tell(
            f"  The area of the pieces alone fills {_counted(plan.tally.bound, 'page')}; "
            f"laid as drawn they would take {plan.tally.naive}."
        )
        if plan.tally.stopped:
            tell("  Stopped early: this is the best layout that was found until then.")
    tell(f"  Ink covers {100 * result.ink:.1f} % of the paper.")
    for sentence in result.verdict.sentences():
        tell(f"  {sentence}")
    if result.map:
        tell(f"  Map: {result.map}")


def _taped(plan: Plan) -> str:
    """How many sheets there are to tape, and how large the largest gets."""
    taped = [cells for cells in plan.sheets if len(cells) > 1]
    if not taped:
        return "nothing to tape"
    sizes = [plan.grid.bounds_of_block(plan.grid.block_of(cells[0])) for cells in taped]
    size = max(sizes, key=lambda bounds: bounds.width * bounds.height)
    words = (
        f"{size.width / 10:.0f} × {size.height / 10:.0f} cm "
        f"({size.width / 25.4:.0f} × {size.height / 25.4:.0f} in)"
    )
    single = len(plan.sheets) - len(taped)
    told = f"taped {words}" if len(taped) == 1 else f"{len(taped)} sheets, the largest {words}"
    return f"{told}, and {_counted(single, 'single page')}" if single else told


def _counted(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"
