"""``python -m tests.bench``: prints what drafting and publishing cost, as ratios of one run.

``python -m tests.bench packing [--long] [NAME ...]`` packs every pattern of the report in full
instead, or those that are named.
"""

import sys

from tests.bench import drafting, packing, publishing

if sys.argv[1:2] == ["packing"]:
    names = [word for word in sys.argv[2:] if not word.startswith("-")]
    packing.report(everything=True, long="--long" in sys.argv, names=names)
else:
    publishing.report()
    drafting.report()
    packing.report()
