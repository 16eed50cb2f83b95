"""Drawing -> PDF, written by reportlab.

ISO 32000-1 sections that matter here: 8.3.2.3 user space, 8.10 form XObjects, 8.11 optional
content, 12.2 viewer preferences, 14.6 marked content, 14.8.2.2 artifacts.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from tiler.output.catalogue import add_layers, describe
from tiler.output.content import ContentWriter
from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Publication
from tiler.sheets.lettering import REGULAR, load_fonts

if TYPE_CHECKING:
    from collections.abc import Callable


def pdf_bytes(
    publication: Publication, progress: Callable[[int, int], None] | None = None
) -> bytes:
    """A whole publication as a file; equal input gives equal bytes with the same libraries.

    Args:
        publication: What to write.
        progress: Called with the number of pages written and their total.
    """
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0
    load_fonts()
    first = publication.pages[0]
    raw = io.BytesIO()
    canvas = Canvas(
        raw,
        pagesize=(first.width * PT_PER_MM, first.height * PT_PER_MM),
        pageCompression=1,
        invariant=1,
        initialFontName=REGULAR,
        pdfVersion=(1, 7),
    )
    writer = ContentWriter(canvas, add_layers(canvas, publication))
    for number, page in enumerate(publication.pages, start=1):
        if progress:
            progress(number, len(publication.pages))
        writer.page(page)
    describe(canvas, publication, writer.digest())
    canvas.save()
    return raw.getvalue()
