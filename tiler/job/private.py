"""A pattern without what tells whose it is."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern
    from tiler.sheets.drawing import Publication


def stripped(pattern: Pattern) -> Pattern:
    """The pattern without maker, address, version, what it was traced from, and names of files.

    A version often is a date. The digest stays, which tells copies apart and nothing else: the
    files that it is of stay in memory, and `without_source` keeps them out of what is written.
    """
    return replace(
        pattern,
        maker="",
        version="",
        traced_from="",
        findings=(),
        pieces=tuple(replace(piece, drawing="") for piece in pattern.pieces),
        seams=tuple(replace(seam, where="") for seam in pattern.seams),
        placed=tuple(replace(placed, where="") for placed in pattern.placed),
        handover=replace(pattern.handover, address=""),
    )


def without_source(publication: Publication) -> Publication:
    """The same pages without the pattern's own files inside."""
    kept = tuple(each for each in publication.attachments if each.relation != "Source")
    return replace(publication, author="", attachments=kept)


def refuse_named(pattern: Pattern) -> None:
    """See that the maker's own words, which stay, do not name what `stripped` takes away.

    Raises:
        PatternError: They do.
    """
    hidden = [pattern.maker, pattern.traced_from, pattern.handover.address]
    names = [_plain(name) for name in hidden if name.strip()]
    for place, text in _words(pattern):
        if any(name in _plain(text) for name in names):
            raise PatternError(
                f"{place} says who made the pattern, where it lives or what it was traced from, "
                "and a private bundle does not",
                where=pattern.title,
                remedy="Take it out there, or give the pattern without --private.",
            )


def _words(pattern: Pattern) -> Iterator[tuple[str, str]]:
    """Whatever the maker has written and the sheets or the notes show, and where."""
    told = pattern.handover
    yield "the title", pattern.title
    yield "about", pattern.about
    for name, about in pattern.cloths:
        yield f"the cloth {name}", f"{name} {about}"
    for facts in told.cloths:
        yield f"the cloth {facts.cloth}", facts.avoid
    for style, about in pattern.styles:
        yield f"the style {style}", f"{style} {about}"
    for piece in pattern.pieces:
        yield f"the piece {piece.name}", " ".join((piece.name, *piece.notes))
        for outline in piece.outlines:
            yield f"an edge of the piece {piece.name}", " ".join(e.name for e in outline.edges)
    for seam in pattern.seams:
        yield "the name of a seam", seam.name
    yield "the licence", " ".join(told.licence)
    yield "the order of sewing", " ".join(told.sewing)
    yield "a notion", " ".join(told.notions)
    yield "a finished measurement", " ".join(each.name for each in told.finished)


def _plain(text: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", text).casefold().split())
