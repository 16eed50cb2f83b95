"""``python -m tests.bench``: prints what drafting, once and again, and publishing cost, as ratios.

``python -m tests.bench packing [--long] [NAME ...]`` packs every pattern of the report in full
instead, or those that are named.

``python -m tests.bench cloth [--normal | --long] [NAME ...]`` lays the demos on common widths of
cloth, and instances from the literature.

``python -m tests.bench photo [--photos N] [--size 12|3] [--keep FOLDER] [SEED ...]`` makes photos
of invented tables, N plain and N with wavy paper and lifted cards, and captures them.

``python -m tests.bench studio`` changes allowances in the studio and waits for the picture.
"""

import sys
from pathlib import Path

from tests.bench import cloth, drafting, packing, photo, publishing, redraft, studio


def after(word: str, default: str) -> str:
    """The argument that follows a word."""
    return sys.argv[sys.argv.index(word) + 1] if word in sys.argv else default


names = [word for word in sys.argv[2:] if not word.startswith("-")]
if sys.argv[1:2] == ["cloth"]:
    efforts = [word[2:] for word in sys.argv[2:] if word in ("--normal", "--long")]
    cloth.report(*efforts[:1] or ["quick"], names=names)
elif sys.argv[1:2] == ["photo"]:
    keep, told = after("--keep", ""), {after(w, "") for w in ("--photos", "--size", "--keep")}
    seeds = [int(name) for name in names if name not in told]
    photo.report(
        int(after("--photos", "20")), after("--size", "12"), Path(keep) if keep else None, seeds
    )
elif sys.argv[1:2] == ["studio"]:
    studio.report()
elif sys.argv[1:2] == ["packing"]:
    packing.report(everything=True, long="--long" in sys.argv, names=names)
else:
    publishing.report()
    drafting.report()
    redraft.report()
    studio.report(changes=8)
    packing.report()
