"""How much a file from elsewhere may hold before it is no publication of an ordinary pattern."""

from __future__ import annotations

from tiler.intake.files import MIB
from tiler.intake.folder import DRAWING_LIMIT
from tiler.pattern.errors import FileError

#: The file itself, packed.
FILE_LIMIT = 512 * MIB
#: The record of a publication.
RECORD_LIMIT = 16 * MIB
#: A file of a pattern, and all of them together.
SOURCE_LIMIT = DRAWING_LIMIT
SOURCES_LIMIT = 256 * MIB
#: All files of a bundle together, unpacked.
BUNDLE_LIMIT = 1024 * MIB
#: Files in a PDF or in a bundle.
MOST_FILES = 2000
#: Seconds that reading may take, and bytes of memory (where the system can bound it).
SECONDS = 60
MEMORY = 3 * 1024 * MIB

NO_PUBLICATION = "This is no publication of an ordinary pattern."


def too_much(problem: str, where: str = "") -> FileError:
    """The error for what goes over a limit."""
    return FileError(problem, where=where, remedy=NO_PUBLICATION)
