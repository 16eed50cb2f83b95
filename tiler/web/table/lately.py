"""The last draft that held, for a pattern file that was made wrong by hand."""

from __future__ import annotations

import threading
from collections import OrderedDict
from pathlib import Path
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from tiler.pattern.errors import BlocksheetError

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern
    from tiler.web.asking import Asked
    from tiler.web.state import State

#: Patterns whose last good draft is kept.
_KEPT = 6
_LAST: WeakKeyDictionary[State, OrderedDict[Path, Pattern]] = WeakKeyDictionary()
_LOCK = threading.Lock()


def drafted_or_last(asked: Asked, key: str) -> tuple[Pattern, BlocksheetError | None]:
    """The pattern as it is; or as it last held together in this run, and what is wrong now.

    Raises:
        BlocksheetError: It does not hold together, and never did in this run.
    """
    folder = asked.library.folder(key)
    try:
        pattern = asked.pattern(key)
    except BlocksheetError as error:
        with _LOCK:
            last = _LAST.get(asked.state, OrderedDict()).get(folder)
        if last is None:
            raise
        return last, error
    with _LOCK:
        kept = _LAST.setdefault(asked.state, OrderedDict())
        kept.pop(folder, None)
        kept[folder] = pattern
        while len(kept) > _KEPT:
            kept.popitem(last=False)
    return pattern, None
