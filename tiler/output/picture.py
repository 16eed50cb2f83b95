"""One page as SVG, PNG or PDF, by the ending of the file's name."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path

from tiler.output.safely import replacing
from tiler.output.svg import svg_bytes
from tiler.pattern.errors import FileError
from tiler.sheets.drawing import Page, Publication

#: Dots per inch of a PNG, and the most dots along one side.
DPI = 150.0
MOST_DOTS = 12000


def write_picture(page: Page, title: str, target: Path) -> None:
    """Write a page in the format that the file's name asks for.

    Raises:
        FileError: No such format, or the file cannot be written.
    """
    writer = WRITERS.get(target.suffix.lower())
    if writer is None:
        raise FileError(
            f"there is no picture format for the ending {target.suffix!r}",
            where=str(target),
            remedy=f"Use one of {', '.join(WRITERS)}.",
        )
    content = writer(page, title)
    with replacing(target) as draft:
        draft.write_bytes(content)


def _pdf(page: Page, title: str) -> bytes:
    from tiler.output.pdf import pdf_bytes

    return pdf_bytes(Publication(title, "", "", (page,)))


def _png(page: Page, title: str) -> bytes:
    """The PDF rendered, so that both look alike."""
    import pypdfium2

    dpi = min(DPI, MOST_DOTS / max(page.width, page.height) * 25.4)
    document = pypdfium2.PdfDocument(_pdf(page, title))
    try:
        image = document[0].render(scale=dpi / 72, grayscale=True).to_pil()
    finally:
        document.close()
    out = io.BytesIO()
    image.save(out, "PNG", dpi=(dpi, dpi), optimize=True)
    return out.getvalue()


#: Ending -> writer. A new format is one line here.
WRITERS: dict[str, Callable[[Page, str], bytes]] = {
    ".svg": svg_bytes,
    ".png": _png,
    ".pdf": _pdf,
}
