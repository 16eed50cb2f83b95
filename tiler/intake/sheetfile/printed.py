"""The digest that a page prints, read off the page and not from what the file says of itself."""

from __future__ import annotations

import re

from tiler.intake.sheetfile.careful import damaged
from tiler.pattern.errors import FileError

_DIGEST = re.compile(r"(?<![0-9a-z])[0-9a-f]{4}-[0-9a-f]{4}(?![0-9a-z])")


def prints(content: bytes, digest: str, where: str) -> bool:
    """Whether the last page, which is always one with pattern, prints this digest.

    A page that prints none, as one may whose words have become lines, is not held against it.

    Args:
        content: The PDF.
        digest: What its record says.
        where: For messages.

    Raises:
        FileError: It prints another one, or cannot be shown.
    """
    found = _DIGEST.findall(_words(content, where))
    if found and digest not in found:
        raise FileError(
            f"its pages print the pattern digest {found[-1]}, and its record says {digest}",
            where=where,
            remedy="Nothing was written. Ask whoever gave you the file for another one.",
        )
    return bool(found)


def _words(content: bytes, where: str) -> str:
    # Another library than the one that reads the files: it shows pages as viewers do.
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(content)
        try:
            page = document[len(document) - 1].get_textpage()
            return str(page.get_text_bounded())
        finally:
            document.close()
    except (pypdfium2.PdfiumError, IndexError) as wrong:
        raise damaged(str(wrong), where) from None
