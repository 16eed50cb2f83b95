"""What a publication has become, in a few lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tiler.cli.telling import tell

if TYPE_CHECKING:
    from tiler.job import Published
    from tiler.layout.plan import Plan, Spent


def tell_published(result: Published) -> None:
    """Pages, sheets and sizes; how good the layout is; what the proof found."""
    plan = result.plan
    if plan.spent:
        _tell_large(result, plan, plan.spent)
    else:
        tell(
            f"{result.file}: {_counted(result.front, 'front page')} and "
            f"{_counted(result.pages, 'pattern page')}, {plan.grid.setup.words}; {_taped(plan)}"
        )
        if plan.grid.setup.paper.roll:
            length = (result.front + result.pages) * plan.grid.setup.height
            tell(f"  Paper to order: {_length(length)} of {plan.grid.setup.words}, front page too.")
    if result.by_hand:
        tell("  Laid by hand, as pattern.toml says.")
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


def next_step(result: Published) -> str:
    """What to do with a file first."""
    if result.plan.spent:
        paper = result.plan.grid.setup.words
        return (
            f"Next: have {result.file} printed at 100 %, no scaling, on {paper}, and measure the "
            "square at its head with a rule."
        )
    return (
        f"Next: print page 1 of {result.file} at 100 %, no scaling, and measure its square with a "
        "rule."
    )


def _tell_large(result: Published, plan: Plan, spent: Spent) -> None:
    """How large the pages are, what to order, and how well the paper is used."""
    setup = plan.grid.setup
    size = (
        f"{setup.width:.0f} × {setup.height:.0f} mm "
        f"({setup.width / 25.4:.1f} × {setup.height / 25.4:.1f} in)"
    )
    pages = _counted(result.pages, "page")
    each = f"each {size}" if result.pages > 1 else size
    tell(f"{result.file}: {pages}, {setup.words}, {each}; every piece whole, nothing to tape")
    if setup.paper.roll:
        tell(f"  Paper to order: {_length(spent.length)} of {setup.words}.")
        naive = f"would take {_length(spent.naive_length)}"
    else:
        naive = f"would take {_counted(spent.naive_pages, 'sheet')}"
    tell(f"  The pieces cover {100 * spent.share:.0f} % of it; in rows as drawn they {naive}.")
    if spent.stopped:
        tell("  Stopped early: this is the best layout that was found until then.")


def _length(length: float) -> str:
    return f"{length / 1000:.2f} m ({length / 25.4:.1f} in)"


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
