"""Pictures of patterns for cards, kept until a file changes."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path

from tiler.job.shelving import Stamp, stamp_of

#: Pictures that are kept; each has about ten thousand bytes.
_MOST = 400


class Glances:
    """The pictures that were drawn in this run."""

    def __init__(self) -> None:
        self._kept: OrderedDict[Path, tuple[Stamp, str]] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, folder: Path, draw: Callable[[], str]) -> str:
        """The picture of a pattern folder, drawn when a file of it has changed.

        Args:
            folder: The pattern folder.
            draw: What draws it; may raise.
        """
        stamp = stamp_of(folder)
        picture = self._known(folder, stamp) or draw()
        with self._lock:
            self._kept[folder] = stamp, picture
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        return picture

    def kept(self, folder: Path) -> str:
        """The picture as it is at hand; empty when it would have to be drawn."""
        return self._known(folder, stamp_of(folder)) if folder in self._kept else ""

    def _known(self, folder: Path, stamp: Stamp) -> str:
        with self._lock:
            known, picture = self._kept.get(folder, (None, ""))
            if known != stamp:
                return ""
            self._kept.move_to_end(folder)
            return picture


def part_id(key: str) -> str:
    """The id of the part of a page that shows a pattern; names hold what ids may not."""
    return f"glance-{hashlib.sha256(key.encode(errors='replace')).hexdigest()[:12]}"


def inline(svg: bytes) -> str:
    """An SVG file as it stands inside a page; its colours come from there."""
    return svg.decode().split("\n", 1)[1]
