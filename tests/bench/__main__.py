"""``python -m tests.bench``: prints what drafting and publishing cost, as ratios of one run.

``python -m tests.bench packing [--long] [NAME ...]`` packs every pattern of the report in full
instead, or those that are named.

``python -m tests.bench cloth [--normal | --long] [NAME ...]`` lays the demos on common widths of
cloth, and instances from the literature.
"""

import sys

from tests.bench import cloth, drafting, packing, publishing

names = [word for word in sys.argv[2:] if not word.startswith("-")]
if sys.argv[1:2] == ["cloth"]:
    efforts = [word[2:] for word in sys.argv[2:] if word in ("--normal", "--long")]
    cloth.report(*efforts[:1] or ["quick"], names=names)
elif sys.argv[1:2] == ["packing"]:
    packing.report(everything=True, long="--long" in sys.argv, names=names)
else:
    publishing.report()
    drafting.report()
    packing.report()
