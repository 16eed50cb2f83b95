"""``python -m tests.bench``: prints what drafting and publishing cost, as ratios of one run.

``python -m tests.bench packing [--long]`` packs every pattern of the report in full instead.
"""

import sys

from tests.bench import drafting, packing, publishing

if sys.argv[1:2] == ["packing"]:
    packing.report(everything=True, long="--long" in sys.argv)
else:
    publishing.report()
    drafting.report()
    packing.report()
