"""How much ink a printed page takes: the share of it that is dark."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

import numpy as np

#: Dots to the inch. The renderer draws no line thinner than a dot (0.17 mm), which is about the
#: thinnest that we have: with larger dots thin lines would count for several times their ink.
DPI = 150


def ink_coverage(pdf: bytes | str | Path, pages: Iterable[int] | None = None) -> list[float]:
    """The darkness of pages, from 0 (white) to 1 (black), layers as the file shows them.

    Pages are rendered with antialiasing: each dot is as grey as ink covers of it, so the mean over
    a page is the area of the ink, times its darkness.

    Args:
        pdf: The file or what is in it.
        pages: Their indices, from 0; None for all.

    Returns:
        One figure for each page, in the order asked for.

    Raises:
        FileError: It is no PDF, or there is no such page.
    """
    import pypdfium2

    from tiler.pattern.errors import FileError

    where = "" if isinstance(pdf, bytes) else os.fspath(pdf)
    try:
        document = pypdfium2.PdfDocument(pdf)
    except (pypdfium2.PdfiumError, FileNotFoundError) as error:
        raise FileError("this is no PDF file that can be read", where=where) from error
    try:
        wanted = range(len(document)) if pages is None else list(pages)
        for number in wanted:
            if not 0 <= number < len(document):
                raise FileError(f"there is no page with the index {number}", where=where)
        return [_darkness(document[number]) for number in wanted]
    finally:
        document.close()


def _darkness(page: object) -> float:
    # Colours do not matter: the pages are grey, and one byte a dot is the fastest to render.
    dots = page.render(scale=DPI / 72, grayscale=True, may_draw_forms=False).to_numpy()  # type: ignore[attr-defined]
    return float(1.0 - np.mean(dots, dtype=np.float64) / 255.0)
