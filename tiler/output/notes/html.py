"""The notes as one HTML file with everything in it: no request leaves it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING, Any

from tiler.output.notes.style import STYLE
from tiler.output.notes.tokens import Section, parser, sections_of, shows
from tiler.output.svg import svg_element
from tiler.sheets.notes.quoting import END, MAKER, SHEET, plain, unmarked
from tiler.sheets.notes.writing import SHEET_LANGUAGE, Written

if TYPE_CHECKING:
    from markdown_it.token import Token

#: Nothing is fetched and nothing is run (Content Security Policy Level 3).
_POLICY = "default-src 'none'; style-src 'unsafe-inline'"


def html_of(written: Written) -> str:
    """The whole file."""
    cover, *rest = sections_of(written.markdown)
    writer = _Writer(written)
    listed = "".join(
        f'<li><a href="#s{number}">{writer.words(escape(section.title))}</a></li>'
        for number, section in enumerate(rest, start=1)
    )
    contents = escape(written.contents)
    nav = f'<nav aria-label="{contents}"><ol>{listed}</ol></nav>' if listed else ""
    body = "\n".join(
        f'<section aria-labelledby="s{number}">\n{writer.body(section, number)}</section>'
        for number, section in enumerate(rest, start=1)
    )
    title = escape(plain(written.title))
    return "\n".join(
        [
            "<!DOCTYPE html>",
            f'<html lang="{escape(written.language)}">',
            "<head>",
            '<meta charset="utf-8">',
            f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            '<meta name="color-scheme" content="light dark">',
            f"<title>{title}</title>",
            f"<style>\n{STYLE}</style>",
            "</head>",
            "<body>",
            f'<header class="cover">\n{writer.body(cover, 0)}</header>',
            nav,
            f"<main>\n{body}\n</main>",
            f"<footer><p>{title} · {escape(written.digest)}</p></footer>",
            "</body>",
            "</html>",
            "",
        ]
    )


def fragment_of(written: Written) -> str:
    """The notes as an element of another page: no styles of their own, headings one level lower.

    Columns that end to the right have the class ``number``, and what is linked to within it has
    names that begin with ``notes-``.
    """
    cover, *rest = sections_of(written.markdown)
    writer = _Writer(written, within=True)
    listed = "".join(
        f'<li><a href="#notes-s{number}">{writer.words(escape(section.title))}</a></li>'
        for number, section in enumerate(rest, start=1)
    )
    contents = escape(written.contents)
    return "\n".join(
        [
            f'<article lang="{escape(written.language)}" class="notes-text">',
            f'<header class="cover">\n{writer.body(cover, 0)}</header>',
            f'<nav aria-label="{contents}"><ol>{listed}</ol></nav>' if listed else "",
            *(
                f'<section aria-labelledby="notes-s{number}">\n'
                f"{writer.body(section, number)}</section>"
                for number, section in enumerate(rest, start=1)
            ),
            f"<footer><p>{escape(plain(written.title))} · {escape(written.digest)}</p></footer>",
            "</article>",
        ]
    )


class _Writer:
    """Writes sections; pictures stand in the text itself.

    Args:
        written: The notes.
        within: Whether they stand within another page.
    """

    def __init__(self, written: Written, *, within: bool = False) -> None:
        from markdown_it.renderer import RendererHTML

        self._written, self._within = written, within
        self._renderer = RendererHTML()
        rules: dict[str, Any] = self._renderer.rules
        rules["text"] = lambda tokens, at, options, env: self.words(escape(tokens[at].content))
        rules["image"] = lambda tokens, at, options, env: self._picture(tokens[at])
        rules["table_open"] = lambda tokens, at, options, env: '<div class="table"><table>\n'
        rules["table_close"] = lambda tokens, at, options, env: "</table></div>\n"

    def body(self, section: Section, number: int) -> str:
        """A section with its heading."""
        tokens = list(section.tokens)
        if number:
            tokens[0].attrSet("id", f"{'notes-' if self._within else ''}s{number}")
        for token in tokens:
            if token.type == "th_open":
                token.attrSet("scope", "col")
            if self._within:
                _lowered(token)
        parts, here = [], 0
        while here < len(tokens):
            figure = self._figure(tokens[here : here + 3])
            if figure:
                parts.append(figure)
                here += 3
                continue
            end = here + 1
            while end < len(tokens) and not self._is_figure(tokens[end : end + 3]):
                end += 1
            parts.append(self._rendered(tokens[here:end]))
            here = end
        return "".join(parts)

    def words(self, escaped: str) -> str:
        """Marks of languages become elements, where the language is another one."""
        maker = self._written.maker_language
        text = escaped
        for mark, language in ((MAKER, maker), (SHEET, SHEET_LANGUAGE)):
            if language.lower() == self._written.language.lower():
                text = re.sub(f"{mark}([^{END}]*){END}", r"\1", text)
            else:
                # An empty tag says that the language is not known (HTML, 3.2.6.2).
                text = text.replace(mark, f'<span lang="{escape(language)}" dir="auto">')
        return text.replace(END, "</span>")

    def _rendered(self, tokens: Sequence[Token]) -> str:
        return str(self._renderer.render(list(tokens), parser().options, {}))

    @staticmethod
    def _is_figure(three: Sequence[Token]) -> bool:
        if len(three) < 3 or three[0].type != "paragraph_open" or three[0].level:
            return False
        return shows(three[1])

    def _figure(self, three: Sequence[Token]) -> str:
        """A paragraph that begins with a picture; the rest of it is the caption."""
        if not self._is_figure(three):
            return ""
        first, *rest = three[1].children or []
        caption = str(self._renderer.renderInline(rest, parser().options, {})).strip()
        told = f"<figcaption>{caption}</figcaption>" if caption else ""
        name = str(first.attrs["src"]).rpartition("/")[2].partition(".")[0]
        return f'<figure class="{escape(name)}">{self._picture(first)}{told}</figure>\n'

    def _picture(self, token: Token) -> str:
        drawing = self._written.pictures[str(token.attrs["src"])]
        about = "".join(child.content for child in token.children or [])
        return svg_element(drawing, unmarked(about))


def _lowered(token: Token) -> None:
    """A heading one level lower; a column's side as a class, since pages refuse styles."""
    if token.type in ("heading_open", "heading_close"):
        token.tag = f"h{int(token.tag[1]) + 1}"
    style = str(token.attrs.pop("style", ""))
    if "right" in style:
        token.attrSet("class", "number")
