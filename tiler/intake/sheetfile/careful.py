"""What pypdf raises or complains about, as one error that can be read."""

from __future__ import annotations

import logging
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

from tiler.pattern.errors import BlocksheetError, FileError

#: What pypdf says of a sound file that is arranged for reading it over a network (ISO 32000-1,
#: annex F): its first table of objects does not begin with object 0. A table that is really
#: shifted shows by the objects' own numbers.
_HARMLESS = "Xref table not zero-indexed"


@contextmanager
def careful(where: str) -> Iterator[None]:
    """Turn whatever pypdf raises or complains about into an error that can be read.

    pypdf mends much of what it complains about, where other programs show a blank page.

    Raises:
        FileError: The file is damaged.
    """
    logger = logging.getLogger("pypdf")
    level, spread = logger.level, logger.propagate
    ear = _Ear()
    logger.addHandler(ear)
    logger.setLevel(logging.WARNING)
    logger.propagate = False
    try:
        with warnings.catch_warnings(record=True) as warned:
            warnings.simplefilter("always")
            yield
        # What pypdf deprecates is no fault of the file.
        told = [str(w.message) for w in warned if not issubclass(w.category, DeprecationWarning)]
        complaints = [*ear.heard, *told]
        if complaints:
            raise damaged(complaints[0], where)
    except BlocksheetError as wrong:
        raise wrong if wrong.where.startswith(where) else wrong.within(where) from None
    except Exception as wrong:  # pypdf answers to damage with errors of more than ten kinds
        raise damaged(f"{type(wrong).__name__}: {wrong}", where) from None
    finally:
        logger.removeHandler(ear)
        logger.setLevel(level)
        logger.propagate = spread


class _Ear(logging.Handler):
    """Keeps what is said, and lets nobody else hear it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        words = record.getMessage()
        if len(self.heard) < 10 and not words.startswith(_HARMLESS):
            self.heard.append(words)


def damaged(told: str, where: str) -> FileError:
    """The error for a PDF that is not as it was written."""
    return FileError(
        f"the PDF is damaged ({' '.join(told.split())[:120]})",
        where=where,
        remedy="Copy or download it again, or publish it again.",
    )
