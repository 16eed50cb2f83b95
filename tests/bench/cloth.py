"""``python -m tests.bench cloth [--normal | --long] [NAME ...]``: lay plans, and what others reach.

The lengths of the demos on common widths, folded and single, at an effort; and the share of the
strip that is used on instances from the literature, beside the engine spyrrow (MIT licence) alone.
The engine works by the clock: the same seed does not give the same layout twice, so that it judges
here and lays nothing in what we hand out.
"""

from __future__ import annotations

import json
import time
from collections.abc import Sequence

from tests.demos import DEMOS, drafted_demo
from tests.layout.cloth.instances import DATA, ENGINE, instance
from tiler.layout.cloth.checking import faults_of
from tiler.layout.cloth.demand import needs_of
from tiler.layout.cloth.lay import lay_cloth
from tiler.layout.cloth.model import Cloth, Spread
from tiler.layout.cloth.stretch import Stage, lay
from tiler.layout.packing.options import Packing

WIDTHS = (900.0, 1100.0, 1400.0, 1500.0, 914.4, 1117.6, 1371.6, 1524.0)
#: Rows of the grid that the numbers of an instance fall on.
ROWS = {"shirts": 40, "trousers": 79, "albano": 98, "marques": 104}
#: Seconds of the engine.
SECONDS = 30


def report(effort: str = "quick", names: Sequence[str] = ()) -> None:
    """Print both tables."""
    for demo in DEMOS:
        if not names or demo in names:
            _demo(demo, effort)
    for name in ROWS:
        if not names or name in names:
            _instance(name)


def _demo(demo: str, effort: str) -> None:
    needs = needs_of(drafted_demo(demo), "main")
    for width in WIDTHS:
        told = []
        for spread in Spread:
            began = time.process_time()
            plan = lay_cloth(needs, Cloth("main", width, spread), Packing(effort=effort))
            faults = faults_of(plan, needs)
            told.append(
                f"{spread.value} {plan.length:7.1f} mm {plan.utilisation:5.1%} "
                f"{time.process_time() - began:5.1f} s"
                + (f" {len(faults)} FAULTS" if faults else "")
            )
        print(f"{demo:9s} {width:7.1f} mm  {effort}: " + "   ".join(told), flush=True)


def _instance(name: str) -> None:
    things, strip = instance(name)
    area = sum(thing.area for thing in things)
    began = time.process_time()
    lain = lay(things, (0.0, strip), (Stage(ROWS[name], 0.0, 8e6),), seed=1)
    ours, took = area / strip / lain.length, time.process_time() - began
    began = time.process_time()
    theirs = _engine(name)
    print(
        f"{name:9s} ours {ours:.4f} in {took:.1f} s of processor time; the engine {theirs:.4f} in "
        f"{time.process_time() - began:.1f} s ({ENGINE[name]:.4f} as recorded)",
        flush=True,
    )


def _engine(name: str) -> float:
    import spyrrow

    read = json.loads((DATA / f"{name}.json").read_text())
    items = [
        spyrrow.Item(
            str(number),
            [(float(x), float(y)) for x, y in item["ring"]],
            item["count"],
            [float(degrees) for degrees in read["turns"]],
        )
        for number, item in enumerate(read["items"])
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=SECONDS, num_workers=1, seed=1
    )
    found = spyrrow.StripPackingInstance(name, float(read["strip"]), items).solve(config)
    return float(found.density)
