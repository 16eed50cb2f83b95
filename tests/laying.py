"""Plans for tests of what is drawn on pages: laid as ever, with a search that ends soon."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from unittest.mock import patch

from tiler.layout.packing.hunt import BUDGET
from tiler.layout.packing.options import Packing
from tiler.layout.place import place
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.pattern.model import Pattern

#: Of a quick search's steps. How good layouts are is tested in `tests/layout`.
_FEW = 1 / 20
_WHOLE = BUDGET["quick"]


def laid(
    pattern: Pattern,
    setups: Sequence[PageSetup],
    packing: Packing | None = None,
    share: float = _FEW,
) -> Plan:
    """The pieces on pages; perhaps on more of them than a whole search would need."""
    with soon_laid(share):
        return place(pattern, setups, packing)


@contextmanager
def soon_laid(share: float = _FEW) -> Iterator[None]:
    """Quick searches take only a share of their steps, in this process."""
    with patch.dict(BUDGET, quick=_WHOLE * share):
        yield
