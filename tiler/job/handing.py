"""Files are handed over whole and proven, or not at all."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tiler.pattern.errors import NotProvenError, StoppedError


@contextmanager
def stoppable(target: Path) -> Iterator[None]:
    """What writes a target; being stopped in it becomes one message.

    Raises:
        StoppedError: Ctrl-C, or a request of the system to end.
    """
    try:
        yield
    except KeyboardInterrupt:
        raise StoppedError(
            "stopped before it was finished",
            where=str(target),
            remedy="What was there before is untouched.",
        ) from None


def not_proven(words: str, target: Path) -> NotProvenError:
    """The error for what was made and is not true to size."""
    return NotProvenError(
        words,
        where=str(target),
        remedy="Nothing was written. Please report this: it is a fault of the tool.",
    )
