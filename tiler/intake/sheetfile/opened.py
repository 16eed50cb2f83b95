"""A file's bytes, and the reader of a PDF that is neither locked nor cut short."""

from __future__ import annotations

import io
import stat
from pathlib import Path

from pypdf import PdfReader
from pypdf.errors import DependencyError, WrongPasswordError

from tiler.intake.files import MIB
from tiler.intake.sheetfile.limits import FILE_LIMIT, too_much
from tiler.pattern.errors import FileError

#: Where a PDF's own first line is looked for (ISO 32000-1, annex H, note to 7.5.2).
HEAD = 1024
_TAIL = 2048


def content_of(path: Path, remedy: str) -> bytes:
    """The bytes of an ordinary file.

    Args:
        path: The file.
        remedy: What to give where something else stands.

    Raises:
        FileError: It is not there, no ordinary file, not readable, too large or empty.
    """
    where = str(path)
    try:
        # A pipe or a device would wait for ever.
        state = path.stat()
        if not stat.S_ISREG(state.st_mode):
            raise FileError("this is not an ordinary file", where=where, remedy=remedy)
        if state.st_size > FILE_LIMIT:
            raise too_much(f"the file is larger than {FILE_LIMIT // MIB} MiB", where)
        content = path.read_bytes()
    except (OSError, ValueError) as wrong:
        reason = (getattr(wrong, "strerror", None) or str(wrong)).lower()
        raise FileError(
            f"the file cannot be read ({reason})",
            where=where,
            remedy="Check its name and its permissions.",
        ) from None
    if not content:
        raise FileError("the file is empty", where=where, remedy="Publish it again.")
    return content


def refuse_no_pdf(content: bytes, where: str) -> None:
    """See that a file begins and ends as a PDF does.

    Raises:
        FileError: It does not.
    """
    if b"%PDF-" not in content[:HEAD]:
        raise FileError("this is not a PDF", where=where, remedy="Give a published PDF.")
    if b"%%EOF" not in content[-_TAIL:]:
        raise FileError(
            "the PDF is cut short",
            where=where,
            remedy="Copy or download it again, or publish it again.",
        )


def reader_of(content: bytes) -> PdfReader:
    """A strict reader; what pypdf says of damage comes from within `careful`.

    Raises:
        FileError: The PDF is locked.
    """
    try:
        reader = PdfReader(io.BytesIO(content), strict=True)
        locked = reader.is_encrypted
    except (DependencyError, NotImplementedError, WrongPasswordError):
        # Raised while opening only for ways to lock a file that pypdf cannot undo.
        locked = True
    if locked:
        raise FileError("the PDF is locked", remedy="Save it without a password and try again.")
    return reader
