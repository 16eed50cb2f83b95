"""What a change costs when a pattern is read again, against reading it anew."""

from __future__ import annotations

import re
import shutil
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.demos import DEMO_PIECES, DEMOS
from tiler.drafting import rings
from tiler.drafting.allowance import cusps, fit, untangle
from tiler.drafting.allowance.cleaned import cleaned
from tiler.drafting.checks import inspect
from tiler.drafting.styles import coinciding
from tiler.intake import folds, patternfile
from tiler.job import read
from tiler.job.redrafting import Redrafter
from tiler.pattern import segment

#: What is changed -> the first words of the pattern file that say it, with a length to be varied.
CHANGES = {
    "an edge's allowance": r'((?:allowances|hem) = \{[^}\n]*")[0-9.]+( mm")',
    "the pattern's allowance": r'(?m)(^allowance = ")[0-9.]+( mm")',
    "a notch": r'(edge = "[A-Z]", at = ")[0-9.]+( mm")',
}
_ROUNDS = 3
_REMEMBERED = (
    cleaned,
    cusps.offset_bits,
    fit._curved,
    untangle._along,
    coinciding._found,
    rings._hull_and_fault,
    rings.polygon_of,
    segment._length,
    folds.shares,
    patternfile.parse_pattern_file,
    patternfile.parsed_file,
)


def report() -> None:
    """Print the figures."""
    print("reading a pattern again after a change, as a share of reading it anew (CPU)")
    for demo in DEMOS:
        with tempfile.TemporaryDirectory() as home:
            folder = Path(shutil.copytree(DEMO_PIECES / demo, Path(home) / demo))
            print(f"  {demo:<10}{_row(folder)}")


def _row(folder: Path) -> str:
    file = folder / "pattern.toml"
    text, kept = file.read_text(encoding="utf-8"), Redrafter()
    kept.inspect(kept.read(folder))
    anew, found = _least(lambda: read(folder)), _least(lambda: inspect(read(folder)))
    words = [f"{1000 * anew:>6.0f} ms; checked too {1000 * found:>4.0f} ms"]
    for name, place in CHANGES.items():
        if not re.search(place, text):
            continue
        again, checked = [], []
        for number in range(_ROUNDS):
            changed = re.sub(place, rf"\g<1>{20 + number}\g<2>", text, count=1)
            file.write_text(changed, encoding="utf-8")
            began = time.process_time()
            pattern = kept.read(folder)
            again.append(time.process_time() - began)
            kept.inspect(pattern)
            checked.append(time.process_time() - began)
        file.write_text(text, encoding="utf-8")
        kept.inspect(kept.read(folder))
        words.append(f"{name} {min(again) / anew:.2f}, checked too {min(checked) / found:.2f}")
    return "; ".join(words)


def _least(work: Callable[[], object]) -> float:
    """CPU seconds with what is made of geometry forgotten, as at the first time."""
    seconds = []
    for _ in range(_ROUNDS):
        for each in _REMEMBERED:
            each.cache_clear()
        began = time.process_time()
        work()
        seconds.append(time.process_time() - began)
    return min(seconds)
