"""What drafting costs: a traced pattern to cut lines, against publishing what came of it."""

from __future__ import annotations

from tests.bench.publishing import timed
from tests.demos import DEMOS, plan_of, traced_demo
from tiler.drafting.draft import drafted
from tiler.drafting.paper import for_paper
from tiler.output.pdf import pdf_bytes
from tiler.sheets.publication import lay_out


def report() -> None:
    """Print the figures."""
    print("drafting the demos: darts, styles, allowances, notches, grain (CPU)")
    for demo in DEMOS:
        traced, plan = traced_demo(demo), plan_of(demo, "a4")
        drafting, made = timed(lambda traced=traced: drafted(traced))
        pattern = for_paper(made)
        publishing, _ = timed(lambda p=pattern, plan=plan: pdf_bytes(lay_out(p, plan)))
        print(f"  {demo:<10}{drafting:>7.3f} s, of publishing on A4: {drafting / publishing:.2f}")
