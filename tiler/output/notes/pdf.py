"""The notes as a PDF: a cover, then the sections, with page numbers and bookmarks."""

from __future__ import annotations

import hashlib
import io
from typing import TYPE_CHECKING, Any

from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.notes.quoting import plain
from tiler.sheets.notes.writing import Written

if TYPE_CHECKING:
    from collections.abc import Sequence

    from markdown_it.token import Token

#: Free paper round the text, and where the foot of a page stands, millimetres.
MARGIN, FOOT = 18.0, 10.0
_FOOT_PT = 7.5
#: No more of a title is tried to be set there.
_LETTERS = 150
#: The picture of the cover is no lower than this, points; then the cover takes two pages.
_LEAST = 170.0
_CODE = 92.0


def pdf_of(written: Written, size: tuple[float, float]) -> bytes:
    """The whole file; equal input gives equal bytes with the same libraries.

    Args:
        written: The notes.
        size: Of the paper, millimetres.
    """
    from reportlab import rl_config

    rl_config.useA85 = 0
    # The first time counts the pages, the second one tells their number.
    count, _ = _built(written, size, 0)
    return _built(written, size, count)[1]


def _built(written: Written, size: tuple[float, float], total: int) -> tuple[int, bytes]:
    from reportlab.platypus import BaseDocTemplate, Frame, PageTemplate
    from reportlab.platypus.flowables import Flowable

    from tiler.output.notes.flow import Flow
    from tiler.output.notes.tokens import sections_of

    width, height = (side * PT_PER_MM for side in size)
    margin = MARGIN * PT_PER_MM
    raw = io.BytesIO()

    class _Document(BaseDocTemplate):  # type: ignore[misc]
        def afterFlowable(self, flowable: Flowable) -> None:
            mark = getattr(flowable, "bookmark", None)
            if mark:
                words, level = mark
                key = f"b{self.seq.nextf('bookmark')}"
                self.canv.bookmarkPage(key)
                self.canv.addOutlineEntry(words, key, level=level, closed=1)

    document = _Document(
        raw,
        pagesize=(width, height),
        leftMargin=margin,
        rightMargin=margin,
        topMargin=margin,
        bottomMargin=margin,
        invariant=1,
        pageCompression=1,
        lang=written.language,
        title=plain(written.title),
    )
    frame = Frame(
        margin,
        margin,
        width - 2 * margin,
        height - 2 * margin,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def foot(canvas: Any, _: object) -> None:
        _draw_foot(canvas, written, total, width)

    document.addPageTemplates([PageTemplate("page", [frame], onPage=foot)])
    column = width - 2 * margin
    flow = Flow(written.pictures, column, height - 2 * margin)
    cover, *rest = sections_of(written.markdown)
    story = _cover(flow, cover.tokens, column, height - 2 * margin)
    for section in rest:
        story += flow.blocks(section.tokens)
    document.build(story, canvasmaker=_canvas_for(written))
    return document.page, raw.getvalue()


def _canvas_for(written: Written) -> type:
    """A canvas that describes the file as our other ones are described, before it is saved."""
    from reportlab.pdfgen.canvas import Canvas

    from tiler.output.catalogue import describe
    from tiler.sheets.lettering import REGULAR

    class _Canvas(Canvas):  # type: ignore[misc]
        def __init__(self, *places: Any, **named: Any) -> None:
            named["initialFontName"] = REGULAR
            named["pdfVersion"] = (1, 7)
            super().__init__(*places, **named)

        def save(self) -> None:
            pages = tuple(
                Page(str(number), 0.0, 0.0, ()) for number in range(1, self.getPageNumber() + 1)
            )
            publication = Publication(
                plain(written.title), plain(written.maker), written.digest, pages
            )
            told = f"{written.language}\n{written.markdown}"
            digest = hashlib.md5(told.encode(), usedforsecurity=False).digest()
            describe(self, publication, digest)
            super().save()

    return _Canvas


def _draw_foot(canvas: Any, written: Written, total: int, width: float) -> None:
    """Title and digest on the left, the page's number on the right."""
    from tiler.sheets.lettering import REGULAR, shortened

    canvas.saveState()
    canvas.setFont(REGULAR, _FOOT_PT)
    canvas.setFillGray(0.35)
    base = FOOT * PT_PER_MM
    margin = MARGIN * PT_PER_MM
    room = (width - 2 * margin) / PT_PER_MM - 60.0
    title = shortened(plain(written.title)[:_LETTERS], _FOOT_PT, room)
    canvas.drawString(margin, base, f"{title} · {written.digest}")
    number = written.page.format(number=canvas.getPageNumber(), total=total)
    canvas.drawRightString(width - margin, base, number)
    canvas.restoreState()


def _cover(flow: Any, tokens: Sequence[Token], width: float, height: float) -> list[Any]:
    """Title, a picture as large as there is room, and what else the cover says, beside the code."""
    from reportlab.platypus import PageBreak, Paragraph, Spacer, Table, TableStyle

    from tiler.output.notes.flow import STYLES, markup
    from tiler.output.notes.tokens import shows
    from tiler.sheets.lettering import REGULAR

    pictures = [number for number, token in enumerate(tokens) if shows(token)]
    first, last = pictures
    above = flow.blocks(tokens[: first - 1])
    for block in above[1:]:
        block.style = STYLES["sub"]
    said = flow.blocks(tokens[first + 2 : last - 1])
    portrait = (tokens[first].children or [])[0]
    code, *caption = tokens[last].children or []
    words = Paragraph(markup(caption).strip(), STYLES["small"])
    beside = [flow.picture(code, _CODE, _CODE)]
    # An address needs a wide line, or nobody can type it.
    if any(token.type == "link_open" for token in caption):
        said.append(words)
    else:
        beside += [Spacer(0, 3), words]
    text_width = width - _CODE - 24
    below = Table([[said, beside]], colWidths=[text_width + 12, _CODE + 12], hAlign="LEFT")
    below.setStyle(
        TableStyle(
            [
                ("VALIGN", (0, 0), (-1, -1), "TOP"),
                ("FONTNAME", (0, 0), (-1, -1), REGULAR),
                ("LEFTPADDING", (0, 0), (-1, -1), 0),
                ("RIGHTPADDING", (0, 0), (-1, -1), 12),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 0),
            ]
        )
    )
    used = _height(above, width) + _height([below], width) + 32
    room = height - used
    if room < _LEAST:
        # So much is said that the picture keeps the first page for itself.
        room = height - _height(above, width) - 20
        shown = flow.picture(portrait, width, room)
        return [*above, shown, PageBreak(), *said, *beside]
    shown = flow.picture(portrait, width, room)
    # What the picture leaves free lies evenly over and under it.
    free = max(room - shown.height, 0.0) / 2
    return [*above, Spacer(0, 10 + free), shown, Spacer(0, 14 + free), below, PageBreak()]


def _height(blocks: Sequence[Any], width: float) -> float:
    """Points that flowables take below each other."""
    total = 0.0
    for block in blocks:
        _, high = block.wrap(width, 10000.0)
        total += high + block.getSpaceBefore() + block.getSpaceAfter()
    return total
