"""The notes as one Markdown text, from the templates of a language."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from markupsafe import Markup

from tiler.drafting.paper import for_paper
from tiler.drafting.styles.chosen import only_styles
from tiler.pattern.model import Pattern, styles_in
from tiler.sheets.clothnames import cloth_called
from tiler.sheets.drawing import Drawing
from tiler.sheets.notes.cautions import cautions_of
from tiler.sheets.notes.facts import NoteFacts, PrintFacts, Units
from tiler.sheets.notes.lengths import Lengths
from tiler.sheets.notes.patternfacts import cloths_told, measures_told
from tiler.sheets.notes.piecefacts import piece_facts
from tiler.sheets.notes.portrait import draw_portrait
from tiler.sheets.notes.quoting import MAKER, SHEET, Phrase, Quoted, escaped, finished, unmarked
from tiler.sheets.notes.signs import Kind, Sign, all_signs, signs_of
from tiler.sheets.notes.words import WordTable, template_of, words_of
from tiler.sheets.ways import Way
from tiler.sheets.words import say

if TYPE_CHECKING:
    from jinja2 import Environment, Template

#: The sections, in the order in which they are read; each is a template.
SECTIONS = (
    "cover",
    "need",
    "sheets",
    "scale",
    "taping",
    "cutting",
    "laying",
    "sewing",
    "cautions",
    "signs",
    "licence",
)
#: What the sheets themselves are written in.
SHEET_LANGUAGE = "en"


@dataclass(frozen=True)
class Written:
    """The notes as Markdown with marks (`quoting`), and the pictures that it shows.

    Args:
        language: Of the notes.
        maker_language: Of what stands between marks of the maker; empty when not said.
        title: Of the pattern.
        maker: Who made it; empty when it is not told.
        digest: Of the pattern.
        page: Such as ``page {number} of {total}``, for the foot of a page.
        contents: What a list of the sections is called.
        markdown: The text.
        pictures: Name, as in the Markdown -> what it shows.
    """

    language: str
    maker_language: str
    title: str
    maker: str
    digest: str
    page: str
    contents: str
    markdown: str
    pictures: dict[str, Drawing]


class Pictures:
    """The pictures that the notes show.

    Args:
        folder: Where they lie beside the Markdown.
    """

    def __init__(self, folder: str) -> None:
        self._folder = quote(folder)
        self.drawn: dict[str, Drawing] = {}

    def shown(self, name: str, drawing: Drawing, about: object) -> Markup:
        """A picture in Markdown, with what it shows in words."""
        file = f"{self._folder}/{name}.svg"
        self.drawn[file] = drawing
        return Markup(f"![{unmarked(str(finished(about)))}]({file})")


def write_notes(
    pattern: Pattern,
    facts: NoteFacts,
    language: str,
    units: Units = Units.BOTH,
    folder: str = "notes-pictures",
) -> Written:
    """The Markdown of the notes.

    Args:
        pattern: Drafted.
        facts: What was published of it.
        language: Of the notes.
        units: In which units lengths are told.
        folder: Where the pictures lie beside the Markdown.

    Raises:
        PatternError: There are no notes in that language.
    """
    words = words_of(language)
    if facts.private:
        pattern = _private(pattern)
    pattern = _chosen(pattern, facts.prints)
    pictures = Pictures(folder)
    context = _context(pattern, facts, words, units, language)
    context["picture"] = pictures.shown
    texts = [_tidy(_template(language, section).render(context)) for section in SECTIONS]
    own = pattern.handover.language.split("-")[0].lower() == language.lower()
    return Written(
        language=language,
        maker_language=language if own else pattern.handover.language,
        title=pattern.title,
        maker=pattern.maker,
        digest=pattern.digest,
        page=str(words["page"]),
        contents=str(words["contents"]),
        markdown="\n\n".join(text for text in texts if text) + "\n",
        pictures=pictures.drawn,
    )


def _private(pattern: Pattern) -> Pattern:
    handover = replace(pattern.handover, address="")
    return replace(pattern, maker="", traced_from="", handover=handover)


def _chosen(pattern: Pattern, prints: Iterable[PrintFacts]) -> Pattern:
    """The pattern with the styles that are published, where all files have the same ones."""
    choices = {each.styles for each in prints}
    if len(choices) != 1 or choices == {()}:
        return pattern
    (styles,) = choices
    chosen = only_styles(pattern, styles)
    return replace(chosen, styles=tuple(s for s in pattern.styles if s[0] in styles))


@cache
def _environment() -> Environment:
    from jinja2 import Environment, StrictUndefined

    # What a template puts out has become Markdown by then, so nothing is escaped for HTML here.
    return Environment(
        autoescape=True,
        finalize=finished,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def _template(language: str, section: str) -> Template:
    return _environment().from_string(template_of(language, section))


def _tidy(text: str) -> str:
    """At most one empty line in a row, and no spaces at the ends of lines."""
    lines: list[str] = []
    for line in text.splitlines():
        if line.strip() or (lines and lines[-1]):
            lines.append(line.rstrip())
    return "\n".join(lines).strip()


def _context(
    pattern: Pattern,
    facts: NoteFacts,
    words: WordTable,
    units: Units,
    language: str,
) -> dict[str, Any]:
    told = Lengths(words, units)
    paper = for_paper(pattern)
    signs = all_signs([each.signs for each in facts.prints] or [signs_of(paper)])
    handover = pattern.handover
    largest = max((max(each.width, each.height) for each in facts.prints), default=0.0)
    called = cautions_of(pattern, facts.surfaces, largest)
    cautions = [caution.told(language) for caution in called]

    def listed(values: Iterable[object]) -> Markup:
        *first, last = [str(finished(value)) for value in values]
        return Markup(f"{', '.join(first)} {words['and']} {last}" if first else last)

    return {
        "w": words,
        "length": told.length,
        "paper_size": told.paper,
        "cloth_width": told.cloth_width,
        "to_buy": told.to_buy,
        "exact": told.exact,
        "share": told.share,
        "listed": listed,
        "link": _link,
        "phrase": lambda text, **blanks: Phrase(text)(**blanks),
        "cloth_named": _cloth_for(language),
        "cloth_headed": _cloth_for(language, first=True),
        "title": Quoted(pattern.title),
        "maker": Quoted(pattern.maker),
        "version": Quoted(pattern.version),
        "digest": pattern.digest,
        "about": Quoted(pattern.about),
        "traced_from": Quoted(pattern.traced_from),
        "styles": [(Quoted(name), Quoted(about)) for name, about in pattern.styles],
        "address": Quoted(handover.address),
        "portrait": draw_portrait(paper),
        "code": _code(pattern),
        "cloths": cloths_told(pattern),
        "notions": list(map(Quoted, handover.notions)),
        "measures": measures_told(pattern, words),
        "worst": max((each.worst for each in facts.prints), default=0.0),
        "prints": [_PrintTold(each) for each in facts.prints],
        "ways": list(dict.fromkeys(p.way.value for p in facts.prints if p.way)),
        "large": bool(facts.prints) and not any(each.front for each in facts.prints),
        "pieces": piece_facts(pattern),
        "lays": facts.lays,
        "sewing": list(map(Quoted, handover.sewing)),
        "cautions": cautions,
        "unchecked": say("caution_unchecked", language) if any(c.child for c in called) else "",
        "signs": [_SignTold(*each, facts.prints) for each in enumerate(signs, start=1)],
        "licence": list(map(Quoted, handover.licence)),
        "sheets_translated": language.lower() != SHEET_LANGUAGE,
    }


class _PrintTold:
    """A published file, ready to be told."""

    def __init__(self, facts: PrintFacts) -> None:
        self.facts = facts
        self.file = Quoted(facts.file, MAKER)
        self.printer = Quoted(facts.printer)
        self.pieces = list(map(Quoted, facts.pieces))
        self.styles = list(map(Quoted, facts.styles))


class _SignTold:
    """A sign, ready to be told."""

    def __init__(self, number: int, sign: Sign, prints: Iterable[PrintFacts]) -> None:
        self.kind = sign.kind.value
        self.words = Quoted(_on_sheet(sign.kind, prints), SHEET)
        self.styles = list(map(Quoted, styles_in(sign.style)))
        self.picture = sign.picture
        self.name = f"sign-{number:02d}-{sign.kind.value.replace('_', '-')}"


def _on_sheet(kind: Kind, prints: Iterable[PrintFacts]) -> str:
    """What stands beside a sign on the sheets; empty where nothing does."""
    if kind is Kind.FOLD_BRACKET:
        return say("fold_edge", SHEET_LANGUAGE)
    if kind is Kind.EDGE:
        seen = all(each.way is Way.SEE_THROUGH for each in prints if each.way)
        return say("see_over" if seen else "goes_over", SHEET_LANGUAGE, neighbour="B2")
    return ""


def _cloth_for(language: str, *, first: bool = False) -> Callable[[object], Markup]:
    """Tells a cloth by the reader's word for it, where there is one, beside the maker's.

    Args:
        language: Of the reader.
        first: Whether it stands where a sentence would begin.
    """

    def told(name: object) -> Markup:
        own, quoted = cloth_called(str(name), language), Quoted(str(name)).__html__()
        own = own[:1].upper() + own[1:] if first else own
        return Markup(f"{escaped(own)} ({quoted})" if own else quoted)

    return told


def _link(address: Quoted) -> Markup:
    """An address as a link; what is no address of the web stays text."""
    text = str(address)
    if not text.lower().startswith(("https://", "http://")):
        return Markup(finished(address))
    target = quote(text, safe="/:?#@!$&'*+,;=%~-._[]")
    return Markup(f"[{escaped(text)}](<{target}>)")


def _code(pattern: Pattern) -> Drawing:
    """The code that a phone reads, without the words under it."""
    from tiler.pattern.affine import Point
    from tiler.pattern.bounds import bounds_of
    from tiler.sheets.drawing import Fill
    from tiler.sheets.qr import MODULE, QUIET, draw_qr

    bars = [item for item in draw_qr(pattern, Point(0.0, 0.0)) if isinstance(item, Fill)]
    bounds = bounds_of([path.bounds for item in bars for path in item.paths])
    return Drawing(bounds.grown(QUIET * MODULE), tuple(bars))
