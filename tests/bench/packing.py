"""How few pages the packing needs: against the area of the pieces and against no packing at all.

A run of the gate packs the demos and one of the sets, with quick effort.
``python -m tests.bench packing`` packs everything with both, and with ``--long`` with long effort
too, which takes minutes for each pattern; names such as ``"set 2"`` pick some of the patterns.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tests.bench.sets import SEEDS, garment_set
from tests.demos import DEMOS, pattern_of_demo
from tiler.layout.packing.options import Packing
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.tiles import PageSetup
from tiler.pattern.model import Pattern

SETUPS = [PageSetup(find_paper("a4"), landscape) for landscape in (False, True)]
#: Seeds of the sets that are packed on every run; the others only when asked.
ALWAYS = (3,)


@dataclass(frozen=True)
class Result:
    """What one effort made of a pattern: pages, joints to tape, seconds by the clock."""

    pages: int
    joints: int
    seconds: float


@dataclass(frozen=True)
class Row:
    """One pattern of the report.

    Args:
        name: As it is printed.
        pieces: How many it has.
        bound: Pages that its area fills.
        naive: Pages without packing.
        results: Effort -> what came of it, for the efforts that were tried.
    """

    name: str
    pieces: int
    bound: int
    naive: int
    results: dict[str, Result]


def patterns(*, everything: bool) -> list[tuple[str, Callable[[], Pattern]]]:
    """The demos, and the twelve sets or one of them."""
    found: list[tuple[str, Callable[[], Pattern]]] = [
        (f"demo {demo}", lambda demo=demo: pattern_of_demo(demo)) for demo in DEMOS
    ]
    seeds = SEEDS if everything else ALWAYS
    return found + [(f"set {seed}", lambda seed=seed: garment_set(seed)) for seed in seeds]


def measured(name: str, pattern: Pattern, efforts: Sequence[str]) -> Row:
    """Pack a pattern with each effort."""
    results, bound, naive = {}, 0, 0
    for effort in efforts:
        began = time.perf_counter()
        plan = place(pattern, SETUPS, packing=Packing(effort))
        seconds = time.perf_counter() - began
        assert plan.tally is not None
        bound, naive = plan.tally.bound, plan.tally.naive
        results[effort] = Result(len(plan.cells), len(plan.joints), seconds)
    return Row(name, len(pattern.pieces), bound, naive, results)


def told(row: Row, efforts: Sequence[str]) -> str:
    """One line of the report."""
    line = f"  {row.name:<14}{row.pieces:>6}{row.bound:>7}{row.naive:>7}"
    for effort in efforts:
        result = row.results.get(effort)
        line += (
            f"{result.pages:>8}{result.joints:>5}{result.pages / row.bound:>6.2f}"
            f"{result.seconds:>7.1f} s"
            if result
            else f"{'-':>8}{'':>20}"
        )
    return line.rstrip()


def averages(rows: Sequence[Row], efforts: Sequence[str]) -> list[str]:
    """What the rows come to, for each effort and from one effort to the next.

    Two averages, as they tell different things: all pages against all bounds, in which large
    patterns weigh more, and the mean of the patterns' own ratios, in which the rounding of a bound
    of two pages weighs as much as a coat.
    """
    lines = []
    for effort in efforts:
        tried = [row for row in rows if effort in row.results]
        packed = [(row.results[effort].pages, row.bound) for row in tried]
        seconds = [row.results[effort].seconds for row in tried]
        naive = [(row.naive, row.bound) for row in tried]
        lines += [
            f"  {effort}, {len(tried)} patterns, {sum(seconds) / len(tried):.1f} s on average, at "
            f"most {max(seconds):.1f} s",
            f"    packed  {against_bound(packed)}",
            f"    naive   {against_bound(naive)}",
            f"    more pages than naive: {sum(r.results[effort].pages > r.naive for r in tried)}",
        ]
    for less, more in pairwise(efforts):
        both = [row.results for row in rows if less in row.results and more in row.results]
        before = sum(results[less].pages for results in both)
        after = sum(results[more].pages for results in both)
        lines.append(
            f"  {more} against {less}, {len(both)} patterns: {after} pages for {before}, "
            f"{100 * (before - after) / before:.1f} % fewer"
        )
    return lines


def against_bound(counts: Sequence[tuple[int, int]]) -> str:
    """Pages (first) against bounds (second), taken together and as the mean of the ratios."""
    pages, bound = (sum(entry[k] for entry in counts) for k in (0, 1))
    ratios = [count / least for count, least in counts]
    return (
        f"{pages} pages for a bound of {bound}: {pages / bound:.3f} taken together, "
        f"{sum(ratios) / len(ratios):.3f} as the mean of the ratios (worst {max(ratios):.2f})"
    )


def report(*, everything: bool = False, long: bool = False, names: Sequence[str] = ()) -> None:
    """Print the figures.

    Args:
        everything: Whether all patterns are packed, and with normal effort too.
        long: Whether all are packed with long effort as well.
        names: Only these patterns, such as ``demo hat`` and ``set 2``; all where there are none.
    """
    everything = everything or long
    efforts = ["quick", *(["normal"] if everything else []), *(["long"] if long else [])]
    print("packing on A4: pages, joints, share of the bound and seconds by the clock")
    print(
        f"  {'':<14}pieces  bound  naive"
        + "".join(f"{effort:>8}".ljust(28) for effort in efforts).rstrip()
    )
    rows = []
    for name, pattern in patterns(everything=everything):
        if names and name not in names:
            continue
        rows.append(measured(name, pattern(), efforts))
        print(told(rows[-1], efforts), flush=True)
    print("\n".join(averages(rows, efforts)))
