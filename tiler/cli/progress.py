"""A progress bar for work that takes over a second, on a terminal only."""

from __future__ import annotations

import sys
import time
from types import TracebackType

PATIENCE = 1.0
WIDTH = 28


class Ticker:
    """Writes one line on standard error and takes it away at the end."""

    def __init__(self) -> None:
        self._began = time.monotonic()
        self._last = 0.0
        self._shown = False
        self._quiet = sys.stderr is None or not sys.stderr.isatty()

    def __enter__(self) -> Ticker:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.clear()

    def clear(self) -> None:
        """Take the line away, for other words to stand there."""
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
            self._shown = False

    def tick(self, stage: str, done: int, total: int) -> None:
        """Show how far a stage is, ten times a second at most."""
        now = time.monotonic()
        if self._quiet or now - self._began < PATIENCE or now - self._last < 0.1:
            return
        self._last, self._shown = now, True
        full = round(WIDTH * done / max(total, 1))
        sys.stderr.write(f"\r\x1b[K{stage} [{'#' * full}{'.' * (WIDTH - full)}] {done}/{total}")
        sys.stderr.flush()
