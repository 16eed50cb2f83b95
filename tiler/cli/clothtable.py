"""What was found for each cloth: how much to buy in each width, and what was supposed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.cli.telling import quoted, tell
from tiler.job.cloth import width_word, without_cloth

if TYPE_CHECKING:
    from tiler.job.cloth import ClothLays, LaidWidth
    from tiler.layout.cloth.model import LayPlan
    from tiler.pattern.model import Pattern

#: What is supposed when nobody has said, and the option that says otherwise.
_ASSUMED = {
    "nap": ("pieces may lie either way up", "--nap"),
    "shrinkage": ("it does not shrink", "--shrinkage"),
    "repeat": ("no check to match", "--repeat"),
    "selvedge": ("10 mm stay free along each selvedge", "--selvedge"),
}


def tell_lays(lay: ClothLays, pictures: Sequence[Path]) -> None:
    """The table of a cloth, what was supposed, and where the pictures are."""
    tell("")
    tell(f"{lay.pattern.title}, {lay.cloth}")
    if not lay.plans:
        tell("  Not laid: stopped before its first plan.")
        return
    tell(f"    {'width':<22}{'lies':<9}{'length used':<23}{'covered':>7}   to buy")
    drawn = {laid.width for laid in lay.drawn}
    for laid in lay.compared:
        tell(_row(laid, "*" if laid.width in drawn else " "))
    for sentence in _notes(lay):
        tell(f"  {sentence}")
    for picture in pictures:
        tell(f"  Plan: {picture}")


def tell_next(pattern: Pattern, lays: Sequence[ClothLays], source: Path) -> None:
    """What is on no plan, and the one thing to do next."""
    from tiler.layout.cloth.buying import metric
    from tiler.sheets.layplanwords import metres, yards_words

    tell("")
    missing = without_cloth(pattern)
    if missing:
        tell(f"On no plan, since nobody has said their cloth: {', '.join(missing)}.")
    open_ones = [lay for lay in lays if lay.plans and not lay.width_said]
    if open_ones:
        widths = f"--cloth {quoted(open_ones[0].cloth)} --width 140cm"
        tell(
            "Next: look how wide your cloth is, and say so: blocksheet cloth "
            f"{quoted(source)} {widths}"
        )
        return
    best = [min(lay.plans, key=lambda plan: metric(plan.to_buy)) for lay in lays if lay.plans]
    buy = "; ".join(
        f"{metres(plan.to_buy)} ({yards_words(plan.to_buy)}) of {plan.cloth.name}, "
        f"{width_word(plan.cloth.width)} wide"
        for plan in best
    )
    tell(f"Next: buy {buy}; wash and press it as the garment will be, then lay it as drawn.")


def as_json(
    pattern: Pattern, drawn: Sequence[tuple[ClothLays, Sequence[Path]]]
) -> dict[str, object]:
    """The same figures for scripts: millimetres, shares from 0 to 1."""
    return {
        "title": pattern.title,
        "digest": pattern.digest,
        "cloths": [
            {
                "cloth": lay.cloth,
                "styles": list(lay.styles),
                "assumed": list(lay.assumed),
                "width_said": lay.width_said,
                "stopped": lay.stopped,
                "widths": [_data(laid) for laid in lay.compared],
                "plans": [
                    {"file": str(file), **_data_of(plan)}
                    for plan, file in zip(lay.plans, files, strict=True)
                ],
            }
            for lay, files in drawn
        ],
        "without_cloth": list(without_cloth(pattern)),
    }


def _row(laid: LaidWidth, mark: str) -> str:
    from tiler.sheets.layplanwords import both, metres, yards_words

    width = both(laid.width)
    plan = laid.plan
    if plan is None:
        why = "not tried: stopped"
        if laid.refusal:
            # The cloth is told already.
            why = f"no: {laid.refusal.where.rpartition(', ')[2]}: {laid.refusal.problem}"
        return f"  {mark} {width:<22}{why}"
    buy = f"{metres(plan.to_buy)} or {yards_words(plan.to_buy)}"
    lies = plan.cloth.spread.value
    other = laid.other
    instead = f"   ({other.cloth.spread.value}: {metres(other.to_buy)})" if other else ""
    return (
        f"  {mark} {width:<22}{lies:<9}{both(plan.length):<23}"
        f"{100 * plan.utilisation:>5.0f} %   {buy:<19}{instead}".rstrip()
    )


def _notes(lay: ClothLays) -> list[str]:
    """What was supposed, what was stopped, and why that width."""
    from tiler.sheets.layplanwords import nested_in, size_of_repeat

    cloth = lay.plans[0].cloth
    said = []
    if any(cloth.shrinkage):
        along, across = (f"{100 * share:.4g} %" for share in cloth.shrinkage)
        said.append(
            f"Counted in: shrinkage, {along} along and {across} across. The length used is that "
            "after washing."
        )
    if cloth.nap:
        said.append("All pieces lie the same way up, for the nap.")
    if any(cloth.repeat):
        seams = f"runs on across {', '.join(lay.matched)}" if lay.matched else "no seam asks for it"
        said.append(f"Check of {size_of_repeat(cloth.repeat)}: {seams}.")
    if lay.assumed:
        words = [_ASSUMED[what] for what in lay.assumed]
        said.append(
            f"Supposed, since nobody said: {', '.join(what for what, _ in words)}. "
            f"Say otherwise with {', '.join(option for _, option in words)}."
        )
    nested = nested_in(lay.pattern, lay.needs)
    if nested:
        said.append(
            f"Pieces take the room of all styles: {', '.join(nested)}. Choose with --style."
        )
    if not lay.width_said:
        said.append("Nobody said how wide it is: * is the width that takes the least cloth.")
    if len(lay.compared) > len(lay.drawn):
        said.append("Only the widths marked * were searched with --effort; the others in brief.")
    if lay.stopped:
        said.append("Stopped early: this is the best that was found until then.")
    return said


def _data(laid: LaidWidth) -> dict[str, object]:
    if laid.plan:
        return _data_of(laid.plan)
    return {"width": laid.width, "refused": str(laid.refusal) if laid.refusal else None}


def _data_of(plan: LayPlan) -> dict[str, object]:
    from tiler.layout.cloth.buying import metric, yards

    return {
        "width": plan.cloth.width,
        "spread": plan.cloth.spread.value,
        "length": round(plan.length, 3),
        "utilisation": round(plan.utilisation, 5),
        "to_buy": round(plan.to_buy, 3),
        "buy_metres": round(metric(plan.to_buy) / 1000, 1),
        "buy_yards": str(yards(plan.to_buy)),
        "stopped": plan.stopped,
    }
