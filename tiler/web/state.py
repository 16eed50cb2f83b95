"""What lives as long as a run of the studio."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.web.glances import Glances
from tiler.web.incoming import Incoming
from tiler.web.library import Library
from tiler.web.works import Works

if TYPE_CHECKING:
    from tiler.job.redrafting import Redrafter

#: Patterns whose drafts are kept at hand.
_OPEN = 6


class State:
    """The library, what is on its way there, the work that goes on, and patterns looked at lately.

    Args:
        root: The user's folder.
        stop: Ends the server.
    """

    def __init__(self, root: Path, stop: Callable[[], None] | None = None) -> None:
        self.library = Library(root)
        self.works = Works()
        self.incoming = Incoming(self.library.root)
        self.glances = Glances()
        self.token = secrets.token_urlsafe(32)
        self.stop = stop or (lambda: None)
        self._drafts: OrderedDict[Path, Redrafter] = OrderedDict()
        self._lock = threading.Lock()

    def drafts(self, folder: Path) -> Redrafter:
        """What drafts a pattern again after a change."""
        from tiler.job.redrafting import Redrafter

        with self._lock:
            found = self._drafts.pop(folder, None) or Redrafter()
            self._drafts[folder] = found
            while len(self._drafts) > _OPEN:
                self._drafts.popitem(last=False)
        return found
