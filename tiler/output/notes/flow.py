"""Markdown tokens -> paragraphs, lists and tables on paper."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape, quoteattr

from reportlab.lib import colors
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import (
    CondPageBreak,
    KeepTogether,
    ListFlowable,
    ListItem,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from tiler.output.notes.paint import fitted
from tiler.output.notes.tokens import shows
from tiler.sheets.drawing import Drawing
from tiler.sheets.lettering import BOLD, REGULAR, load_fonts
from tiler.sheets.notes.quoting import unmarked

if TYPE_CHECKING:
    from markdown_it.token import Token

#: Type sizes and leadings in points.
TITLE, SUB, HEAD, LESS, TEXT, CELL = 30.0, 10.0, 16.0, 11.5, 9.5, 8.6
_LEADING = 1.42
_SOFT = colors.Color(0.32, 0.32, 0.32)
_RULE = colors.Color(0.75, 0.75, 0.75)
_GAP = 5.0
#: A heading has at least so much of the page below it, points.
_ROOM = 110.0
_OVER = 14.0
#: A word in a table is not broken for its column while it is no wider, points.
_WORD = 150.0
#: Room for a picture in a table, points.
_SPECIMEN = (62.0, 40.0)


def style(name: str, size: float, **more: Any) -> ParagraphStyle:
    """A style of paragraphs in our typeface."""
    said: dict[str, Any] = {
        "fontName": REGULAR,
        "fontSize": size,
        "leading": size * _LEADING,
        "spaceAfter": _GAP,
        "splitLongWords": 1,
    }
    return ParagraphStyle(name, **{**said, **more})


STYLES = {
    "h1": style("h1", TITLE, fontName=BOLD, leading=TITLE * 1.15, spaceAfter=4),
    "h2": style("h2", HEAD, fontName=BOLD, leading=HEAD * 1.25, spaceAfter=7),
    "h3": style("h3", LESS, fontName=BOLD, leading=LESS * 1.3, spaceBefore=12, spaceAfter=4),
    "p": style("p", TEXT),
    "sub": style("sub", SUB, textColor=_SOFT, spaceAfter=8),
    "small": style("small", CELL, textColor=_SOFT, spaceAfter=2),
    "li": style("li", TEXT, spaceAfter=1.5),
    "cell": style("cell", CELL, spaceAfter=0, leading=CELL * 1.35),
    "head": style("head", CELL, fontName=BOLD, spaceAfter=0, leading=CELL * 1.35),
}


class _Over(Spacer):  # type: ignore[misc]
    """Room over a heading, but for one at the top of a page."""

    def __init__(self, column: float) -> None:
        super().__init__(0, _OVER)
        self._column = column

    def wrap(self, available_width: float, available_height: float) -> tuple[float, float]:
        """Nothing where all of the column is left, but for the room after a list before it."""
        self.height = 0.0 if available_height > self._column - 2 * _GAP else _OVER
        return 0.0, self.height


class Flow:
    """Makes flowables of a section.

    Args:
        pictures: Name, as in the Markdown -> what it shows.
        width: Of the column, points.
        height: Of the column, points.
    """

    def __init__(self, pictures: dict[str, Drawing], width: float, height: float) -> None:
        load_fonts()
        self._pictures, self._width, self._height = pictures, width, height

    def blocks(self, tokens: Sequence[Token]) -> list[Any]:
        """The flowables of some tokens, in order; what belongs to a lesser heading hangs together.

        A heading is not left alone at the foot of a page.
        """
        made: list[Any] = []
        held: list[Any] | None = None
        here = 0
        while here < len(tokens):
            token = tokens[here]
            end = _closing(tokens, here)
            if token.type == "heading_open":
                made += [KeepTogether(held)] if held else []
                held = None
                if token.tag == "h3":
                    # The heading of the section goes with the first of its parts.
                    held = [made.pop()] if made and getattr(made[-1], "opens", False) else []
                elif token.tag == "h2":
                    made += [_Over(self._height), CondPageBreak(_ROOM)]
            (made if held is None else held).extend(self._block(token, tokens[here + 1 : end]))
            here = end + 1
        return [*made, KeepTogether(held)] if held else made

    def _block(self, token: Token, inner: Sequence[Token]) -> list[Any]:
        if token.type == "heading_open":
            return [self._heading(token.tag, inner[0])]
        if token.type == "paragraph_open":
            return self._paragraph(inner[0])
        if token.type in ("bullet_list_open", "ordered_list_open"):
            return [self._list(token, inner), Spacer(0, _GAP)]
        if token.type == "table_open":
            return [self._table(inner), Spacer(0, _GAP)]
        raise AssertionError(f"no template uses {token.type}")

    def _heading(self, tag: str, inline: Token) -> Paragraph:
        """A heading; those of the second and third level are listed as bookmarks."""
        made = Paragraph(markup(inline.children or []), STYLES[tag])
        if tag != "h1":
            words = "".join(unmarked(each.content) for each in inline.children or [])
            made.bookmark, made.opens = (words, 0 if tag == "h2" else 1), tag == "h2"
        return made

    def picture(self, token: Token, width: float, height: float) -> Any:
        """A picture in a box of points."""
        return fitted(self._pictures[str(token.attrs["src"])], width, height)

    def _paragraph(self, inline: Token) -> list[Any]:
        children = inline.children or []
        if shows(inline):
            made: list[Any] = [self.picture(children[0], self._width, self._height - 40)]
            rest = markup(children[1:]).strip()
            made += [Paragraph(rest, STYLES["small"])] if rest else []
            return [KeepTogether([*made, Spacer(0, _GAP)])]
        return [Paragraph(markup(children), STYLES["p"])]

    def _list(self, token: Token, inner: Sequence[Token]) -> ListFlowable:
        items = []
        here = 0
        while here < len(inner):
            end = _closing(inner, here)
            items.append(ListItem(self._item(inner[here + 1 : end]), spaceAfter=1.0))
            here = end + 1
        ordered = token.type == "ordered_list_open"
        return ListFlowable(
            items,
            bulletType="1" if ordered else "bullet",
            start=None if ordered else "•",
            bulletFontName=BOLD if ordered else REGULAR,
            bulletFontSize=TEXT,
            bulletFormat="%s." if ordered else None,
            leftIndent=16,
            bulletDedent=16 if ordered else 11,
        )

    def _item(self, tokens: Sequence[Token]) -> list[Any]:
        made: list[Any] = []
        here = 0
        while here < len(tokens):
            end = _closing(tokens, here)
            if tokens[here].type == "paragraph_open":
                made.append(Paragraph(markup(tokens[here + 1].children or []), STYLES["li"]))
            else:
                made.append(self._list(tokens[here], tokens[here + 1 : end]))
            here = end + 1
        return made

    def _table(self, tokens: Sequence[Token]) -> Table:
        rows: list[list[Any]] = []
        aligned: list[str] = []
        for number, token in enumerate(tokens):
            if token.type == "tr_open":
                rows.append([])
            elif token.type in ("th_open", "td_open"):
                inline = tokens[number + 1]
                head = token.type == "th_open"
                if head:
                    aligned.append("RIGHT" if "right" in str(token.attrs.get("style")) else "LEFT")
                rows[-1].append(self._cell(inline, head, aligned[len(rows[-1])]))
        widths = _widths(rows, self._width)
        made = Table(rows, colWidths=widths, repeatRows=1, hAlign="LEFT")
        pictured = any(not isinstance(row[0], Paragraph) for row in rows)
        made.setStyle(
            TableStyle(
                [
                    ("VALIGN", (0, 0), (-1, -1), "MIDDLE" if pictured else "TOP"),
                    ("FONTNAME", (0, 0), (-1, -1), REGULAR),
                    ("LINEBELOW", (0, 0), (-1, 0), 1.0, colors.black),
                    ("LINEBELOW", (0, 1), (-1, -1), 0.4, _RULE),
                    ("LEFTPADDING", (0, 0), (-1, -1), 0),
                    ("RIGHTPADDING", (0, 0), (-1, -1), 8),
                    ("TOPPADDING", (0, 0), (-1, -1), 2.5),
                    ("BOTTOMPADDING", (0, 0), (-1, -1), 3.5),
                ]
            )
        )
        return made

    def _cell(self, inline: Token, head: bool, align: str) -> Any:
        children = inline.children or []
        if shows(inline):
            return self.picture(children[0], *_SPECIMEN)
        kind = STYLES["head" if head else "cell"]
        if align == "RIGHT":
            kind = ParagraphStyle(f"{kind.name}-right", kind, alignment=2)
        return Paragraph(markup(children), kind)


def markup(children: Sequence[Token]) -> str:
    """Inline tokens as the markup of reportlab's paragraphs."""
    parts = []
    for token in children:
        if token.type in ("text", "code_inline"):
            parts.append(escape(unmarked(token.content)))
        elif token.type == "strong_open":
            parts.append(f'<font name="{BOLD}">')
        elif token.type == "strong_close":
            parts.append("</font>")
        elif token.type in ("softbreak", "hardbreak"):
            parts.append(" ")
        elif token.type == "link_open":
            parts.append(f"<a href={quoteattr(str(token.attrs['href']))}>")
        elif token.type == "link_close":
            parts.append("</a>")
        else:
            raise AssertionError(f"no template uses {token.type}")
    return "".join(parts)


def _closing(tokens: Sequence[Token], start: int) -> int:
    """Where what opens at a place closes."""
    level = 0
    for number in range(start, len(tokens)):
        level += tokens[number].nesting
        if level == 0:
            return number
    raise AssertionError("every token that opens closes")


def _widths(rows: Sequence[Sequence[Any]], room: float) -> list[float]:
    """Columns by what they hold: as wide as their words where that goes, else in proportion."""
    columns = list(zip(*rows, strict=True))
    wanted = [max(_want(cell) for cell in column) + 10 for column in columns]
    least = [max(_least(cell) for cell in column) + 10 for column in columns]
    if sum(wanted) <= room:
        return [each + (room - sum(wanted)) / len(wanted) for each in wanted]
    left = room - sum(least)
    if left <= 0:
        return [room * each / sum(least) for each in least]
    more = [want - low for want, low in zip(wanted, least, strict=True)]
    # Long texts share what is left by the root of their length, so that short ones are not broken.
    shares = [each**0.5 for each in more]
    return [low + left * share / sum(shares) for low, share in zip(least, shares, strict=True)]


def _want(cell: Any) -> float:
    if not isinstance(cell, Paragraph):
        return float(cell.width)
    return float(sum(stringWidth(p.text, p.fontName, p.fontSize) for p in cell.frags))


def _least(cell: Any) -> float:
    if not isinstance(cell, Paragraph):
        return float(cell.width)
    return min(float(cell.minWidth()), _WORD)
