"""Pages for a projector or a screen: one picture dot for each of its pixels."""

from __future__ import annotations

import io
from collections.abc import Sequence

from tiler.output.pdf import pdf_bytes
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.screen import PX_MM

#: pdfium rounds the size of a picture up. So much less than a pixel keeps it at the whole number,
#: while the page is still stretched over all of it.
_SHY_PX = 0.01


def screen_png(pages: Sequence[Page], width_px: int, height_px: int) -> list[bytes]:
    """Each page as a grey PNG of exactly so many pixels.

    The page's lower left corner is the picture's, and `PX_MM` of the page are one pixel: a line
    whose edges lie on multiples of that is crisp.

    Args:
        pages: Of the same size, `width_px` by `height_px` times `PX_MM`.
        width_px: Dots across.
        height_px: Dots down.
    """
    import pypdfium2

    for page in pages:
        size = page.width / PX_MM, page.height / PX_MM
        if abs(size[0] - width_px) > _SHY_PX or abs(size[1] - height_px) > _SHY_PX:
            raise AssertionError(f"the page {page.name} is {size[0]:g} x {size[1]:g} pixels")
    document = pypdfium2.PdfDocument(pdf_bytes(Publication("", "", "", tuple(pages))))
    try:
        return [
            _png(sheet.render(scale=(width_px - _SHY_PX) / sheet.get_width(), grayscale=True))
            for sheet in document
        ]
    finally:
        document.close()


def _png(bitmap: object) -> bytes:
    out = io.BytesIO()
    bitmap.to_pil().save(out, "PNG")  # type: ignore[attr-defined]
    return out.getvalue()
